package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"time"
)

// assetRoot is where assets are served.
const assetRoot = "/assets/"

// assets are the embedded files with the hash of their content in their address: /assets/style.1f2e3d4c.css.
type assets struct {
	addressOf map[string]string // by file name
	content   map[string][]byte // by address
}

// loadAssets reads the folder "assets".
func loadAssets(files fs.FS) (assets, error) {
	a := assets{addressOf: make(map[string]string), content: make(map[string][]byte)}
	entries, err := fs.ReadDir(files, "assets")
	if err != nil {
		return a, err
	}
	for _, entry := range entries {
		data, err := fs.ReadFile(files, path.Join("assets", entry.Name()))
		if err != nil {
			return a, err
		}
		a.add(entry.Name(), data)
	}
	return a, nil
}

func (a assets) add(name string, data []byte) {
	sum := sha256.Sum256(data)
	ending := path.Ext(name)
	address := assetRoot + strings.TrimSuffix(name, ending) + "." + hex.EncodeToString(sum[:6]) + ending
	a.addressOf[name] = address
	a.content[address] = data
}

// address is the hashed address of a file; a template that names an unknown file fails.
func (a assets) address(name string) (string, error) {
	address, known := a.addressOf[name]
	if !known {
		return "", fmt.Errorf("there is no asset %q", name)
	}
	return address, nil
}

// ServeHTTP serves the content of a hashed address.
func (a assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	data, known := a.content[r.URL.Path]
	if !known {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", contentType(r.URL.Path))
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	w.Header().Set("X-Content-Type-Options", "nosniff")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

// contentType does not trust the machine's own table for the endings that pages need.
func contentType(address string) string {
	switch path.Ext(address) {
	case ".css":
		return "text/css; charset=utf-8"
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	}
	return mime.TypeByExtension(path.Ext(address))
}
