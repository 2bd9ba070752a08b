package importing

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/takeoff"
	"jambwright/server/sheet"
)

// heldRates is a store that holds rates only.
type heldRates struct{ rows []RateRow }

func (h *heldRates) Stored(context.Context, string, Kind) (Stored, error) {
	return Stored{Rates: h.rows}, nil
}

func (h *heldRates) Apply(_ context.Context, _ string, _ Kind, decide func(Stored) (Changes, error)) error {
	_, err := decide(Stored{Rates: h.rows})
	return err
}

// What is written as a sheet, in feet or in metres, as CSV or as a workbook, reads back as the same table and changes nothing.
func TestRateSheet_ReadsBackAsTheSameTable(t *testing.T) {
	t.Parallel()
	store := &heldRates{rows: standardRates()}
	for _, metric := range []bool{false, true} {
		rows := RateSheet(store.rows, metric)
		csv, err := sheet.WriteCSV(rows)
		require.NoError(t, err)
		workbook, err := sheet.WriteXLSX("rates", rows, 0)
		require.NoError(t, err)
		for name, data := range map[string][]byte{"rates.csv": csv, "rates.xlsx": workbook} {
			s := Read(Rates, name, data, Options{})
			require.Empty(t, s.Faults, name)
			require.Len(t, s.Rates, len(store.rows))
			for i, r := range s.Rates {
				assert.InEpsilon(t, store.rows[i].Hours+1, r.Hours+1, 1e-7)
				assert.InEpsilon(t, store.rows[i].Factor+1, r.Factor+1, 1e-7)
				assert.Equal(t, store.rows[i].Key(), r.Key())
			}
			p, err := NewPreview(t.Context(), store, "any", s)
			require.NoError(t, err)
			assert.True(t, p.Empty(), "%s, metric %v: %+v", name, metric, p.Rates.Changed)
		}
	}
}

func TestReadRates_TellsEveryFaultAtOnce(t *testing.T) {
	t.Parallel()
	text := "Work,Type,For each,Hours,Source\n" +
		"frame,all types,foot of frame,0.03048,our count\n" + // 0.1 h a metre
		",pair,task (set-up),4,\n" + // the work is repeated from above
		"glaze,,sq ft of glass,0.02,\n" +
		"frame,tent,leaf,1,\n" +
		"hang,,hinge,1,\n" +
		"hang,,leaf,many,\n" +
		"paint,,leaf,1,\n" +
		"hang,,piece of hardware,-1,\n" +
		"glaze,,square foot of glass,0.03,\n"
	s := Read(Rates, "rates.csv", []byte(text), Options{})
	require.Len(t, s.Rates, 3)
	assert.Equal(t, takeoff.PerMetre, s.Rates[0].Driver)
	assert.InDelta(t, 0.1, s.Rates[0].Hours, 1e-12)
	assert.Equal(t, RateRow{Work: takeoff.Frame, Type: takeoff.Pair, Driver: takeoff.PerTask, Hours: 4}, RateRow{
		Work: s.Rates[1].Work, Type: s.Rates[1].Type, Driver: s.Rates[1].Driver, Hours: s.Rates[1].Hours,
	})
	assert.InDelta(t, 0.02/0.09290304, s.Rates[2].Hours, 1e-12)
	rows := map[int]string{}
	for _, f := range s.Faults {
		rows[f.Row] = f.Column
		assert.NotEmpty(t, f.Remedy)
	}
	assert.Equal(t, map[int]string{5: "Type", 6: "For each", 7: "Hours", 8: "Work", 9: "Hours", 10: "For each"}, rows)
}

// Factors of conditions stand in the same sheet. A sheet without their column leaves those that are stored as they are.
func TestReadRates_FactorsOfConditionsTravelInTheSheet(t *testing.T) {
	t.Parallel()
	text := "Work,Type,For each,Hours,Condition,Factor,Source\n" +
		"all work,,,,Night work,\"1,25\",our count\n" +
		"hang,,,,occupied,1.1,\n" +
		"all work,,,,Night work,1.3,\n" +
		"glaze,,,,dusty,12,\n" +
		"paint,,,,dusty,1.2,\n" +
		"all work,,,,!,1.2,\n"
	s := Read(Rates, "rates.csv", []byte(text), Options{})
	require.Len(t, s.Rates, 2)
	assert.Equal(t, takeoff.Condition("night_work"), s.Rates[0].Condition)
	assert.InDelta(t, 1.25, s.Rates[0].Factor, 1e-12)
	assert.Equal(t, takeoff.Hang, s.Rates[1].Work)
	rows := map[int]string{}
	for _, f := range s.Faults {
		rows[f.Row] = f.Column
		assert.NotEmpty(t, f.Remedy)
	}
	assert.Equal(t, map[int]string{4: "For each", 5: "Factor", 6: "Work", 7: "Condition"}, rows)

	store := &heldRates{rows: standardRates()}
	var hours [][]string
	for _, row := range RateSheet(store.rows, false) {
		if row[4] == "" || row[4] == "Condition" {
			hours = append(hours, []string{row[0], row[1], row[2], row[3], row[6]})
		}
	}
	csv, err := sheet.WriteCSV(hours)
	require.NoError(t, err)
	p, err := NewPreview(t.Context(), store, "any", Read(Rates, "rates.csv", csv, Options{}))
	require.NoError(t, err)
	assert.True(t, p.Empty(), "%+v %+v", p.Rates, p.Questions)
}

func FuzzReadDriver(f *testing.F) {
	for _, d := range takeoff.Drivers() {
		f.Add(DriverWords(d, false))
		f.Add(DriverWords(d, true))
	}
	f.Add("per LF of frame")
	f.Fuzz(func(t *testing.T, text string) {
		d, unit, err := readDriver(text)
		if err != nil {
			return
		}
		again, sameUnit, err := readDriver(DriverWords(d, unit == 1))
		if err != nil || again != d || sameUnit != unit && unit != 1 {
			t.Fatalf("%q is %s, which reads back as %s: %v", text, d, again, err)
		}
	})
}
