package importing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/server/importing"
)

func TestBlankSheet_ReadsBackWithoutAFault(t *testing.T) {
	t.Parallel()
	rows := map[importing.Kind]int{importing.Openings: 8, importing.Crews: 3, importing.Handovers: 4, importing.Suppliers: 3, importing.GCDates: 3, importing.Rates: 45}
	for _, kind := range importing.Kinds() {
		for _, format := range []importing.Format{importing.CSV, importing.XLSX} {
			name, data, err := importing.BlankSheet(kind, format)
			require.NoError(t, err)
			s := importing.Read(kind, name, data, importing.Options{})
			assert.Empty(t, s.Faults, name)
			assert.Empty(t, s.Unused, name)
			assert.Equal(t, rows[kind], s.Rows(), name)
		}
	}
	_, _, err := importing.BlankSheet(importing.Crews, "ods")
	require.Error(t, err)
	_, _, err = importing.BlankSheet("walls", importing.CSV)
	require.Error(t, err)
}
