//go:build !linux

package dbtest

// startServer starts nothing here: only Linux can tie the server's life to ours. Set JAMBWRIGHT_TEST_DATABASE instead.
func startServer() (string, error) { return "", errNoServer }
