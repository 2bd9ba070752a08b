package importing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/server/sheet"
)

// 25 November 2026 is a Wednesday; its serial number in the 1900 date system is 46351, one day after 46350 for the 24th.
func TestParseDate_ReadsUSISOAndWordedForms(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"11/25/2026", "11/25/26", "11-25-2026", "11.25.2026", "25/11/2026", "25.11.2026", "25.11.26", "2026-11-25", "2026/11/25", "20261125", "2026-11-25 08:00",
		"2026-11-25T08:00:00Z", "11/25/2026 8:00 AM", "25 Nov 2026", "25-Nov-26", "25-Nov-2026", "Nov 25, 2026", "November 25, 2026", "Nov. 25 2026",
		"25th November 2026", "November 25th, 2026", "25 of Nov 2026", "Wed 25-Nov-26", "Wednesday, November 25, 2026", "wed. 11/25/26", "Nov-25-2026", "2026-Nov-25",
		"25Nov2026", "46351", "25 NOV '26", "25–Nov–2026", " 25\u00a0Nov 2026 ",
	} {
		got, err := parseDate(sheet.Cell{Text: text}, DateOrderUnknown)
		if assert.NoError(t, err, text) {
			assert.Equal(t, "2026-11-25", got.String(), text)
		}
	}
}

func TestParseDate_RefusesToGuessDayAndMonth(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"03/04/2026", "3/4/26", "03-04-2026", "3.4.2026", "12/01/2026"} {
		_, err := parseDate(sheet.Cell{Text: text}, DateOrderUnknown)
		require.ErrorIs(t, err, errAmbiguous, text)
	}
	for text, want := range map[string][2]string{"03/04/2026": {"2026-03-04", "2026-04-03"}, "11/25/2026": {"2026-11-25", "2026-11-25"}} {
		us, err := parseDate(sheet.Cell{Text: text}, MonthFirst)
		require.NoError(t, err)
		eu, err := parseDate(sheet.Cell{Text: text}, DayFirst)
		require.NoError(t, err)
		assert.Equal(t, want, [2]string{us.String(), eu.String()})
	}
	same, err := parseDate(sheet.Cell{Text: "05/05/2026"}, DateOrderUnknown)
	require.NoError(t, err)
	assert.Equal(t, "2026-05-05", same.String(), "both readings are one day")
}

func TestParseDate_RefusesWhatIsNoDate(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		"", "soon", "31/02/2026", "2026-02-30", "13/13/2026", "2026", "Nov 2026", "25 Foo 2026", "11/25", "1/1/1926", "999", "120000", "Tue 25 Nov 2026",
		"2026-11-25-26", "0/0/2026", "week 48",
	} {
		d, err := parseDate(sheet.Cell{Text: text}, DateOrderUnknown)
		require.ErrorIs(t, err, errNotDate, "%q gave %v", text, d)
	}
}

func FuzzParseDate_WhatIsAcceptedReadsBack(f *testing.F) {
	for _, seed := range []string{"11/25/2026", "25 Nov 2026", "Wed 25-Nov-26", "46351", "2026-11-25T08:00", "03/04/26"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, kind := range []sheet.CellKind{sheet.Text} {
			d, err := parseDate(sheet.Cell{Text: text, Kind: kind}, DateOrderUnknown)
			if err != nil {
				continue
			}
			again, err := parseDate(sheet.Cell{Text: d.String()}, DateOrderUnknown)
			if err != nil || again != d {
				t.Fatalf("%q read as %v, which reads back as %v, %v", text, d, again, err)
			}
		}
	})
}
