package importing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/takeoff"
)

func TestReadWork_KnowsTheTradesWords(t *testing.T) {
	t.Parallel()
	for text, want := range map[string][]takeoff.Kind{
		"survey, frame":           {takeoff.Survey, takeoff.Frame},
		"Glazing & door hanging":  {takeoff.Glaze, takeoff.Hang},
		"doors and hardware":      {takeoff.Hang},
		"Punch list":              {takeoff.Punch},
		"Glazing complete":        {takeoff.Glaze},
		"hang / frame":            {takeoff.Frame, takeoff.Hang}, // in the order an opening goes through them
		"field measure; glaziers": {takeoff.Survey, takeoff.Glaze},
		"all":                     {takeoff.Survey, takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch},
	} {
		got, err := readWork(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, got, text)
		}
	}
	_, err := readWork("frame, carpentry")
	require.ErrorContains(t, err, `"carpentry" is no kind of work`)
}

func TestReadCrews_CostsShiftsAndAbsences(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct{ heading, value, want string }{
		{"$/hr", "$78/hr", "78"},
		{"Rate", "72,50", "72.5"},
		{"Cost per hour", "$1,078.25", "1078.25"},
		{"Shift", "7am to 3:30pm", "07:00-15:30"},
		{"Hours", "7:00 - 15:30", "07:00-15:30"},
		{"Hours", "22:00-06:00", "22:00-06:00"},
		{"Away", "11/30/26-12/02/26", "2026-11-30 to 2026-12-02"},
		{"Away", "25 Dec 2026; 2027-01-04 to 2027-01-05", "2026-12-25 to 2026-12-25, 2027-01-04 to 2027-01-05"},
		{"Productivity", "105%", "1.05"},
		{"Sites", "Harrow Bend, Millrace", "Harrow Bend, Millrace"},
		{"Home", "Any", ""},
	} {
		s := Read(Crews, "c.csv", []byte("Crew|Heads|Skills|"+tc.heading+"\nAlder|3|frame|"+tc.value+"\n"), Options{})
		if !assert.Empty(t, s.Faults, tc.value) {
			continue
		}
		_, values := Describe(s.Crews[0])
		for _, name := range []string{"name", "heads", "skills"} {
			delete(values, name)
		}
		if tc.want == "" {
			assert.Empty(t, values, tc.value)
			continue
		}
		require.Len(t, values, 1, tc.value)
		for _, got := range values {
			assert.Equal(t, tc.want, got, tc.value)
		}
	}
	for _, tc := range []struct{ heading, value string }{
		{"Hours", "7-3"}, {"Away", "03/04/2026"}, {"Away", "2026-12-02 to 2026-11-30"}, {"Rate", "a lot"}, {"Productivity", "50"}, {"Heads", "0"},
	} {
		row := "Alder|3|frame|" + tc.value
		heading := "Crew|Heads|Skills|" + tc.heading
		if tc.heading == "Heads" {
			heading, row = "Crew|Skills|Heads", "Alder|frame|"+tc.value
		}
		s := Read(Crews, "c.csv", []byte(heading+"\n"+row+"\n"), Options{})
		require.Len(t, s.Faults, 1, tc.value)
		assert.Equal(t, tc.heading, s.Faults[0].Column)
		assert.NotEmpty(t, s.Faults[0].Remedy)
	}
}

func TestReadSuppliers_LeadTimesInDaysAndWeeks(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct{ heading, value, want string }{
		{"Lead time", "15", "15 working days"},
		{"Lead time", "15 days", "15 working days"},
		{"Lead time", "3 weeks", "15 working days"},
		{"Lead time (weeks)", "6-8", "30-35-40 working days"},
		{"Lead time", "6 to 8 wks", "30-35-40 working days"},
		{"Lead time (weeks)", "20 days", "20 working days"},
		{"Lead time (calendar days)", "30", "30 calendar days"},
		{"Lead time", "2 calendar weeks", "14 calendar days"},
		{"Lead time", "1.5 wk", "8 working days"}, // a part of a day counts as a day
	} {
		s := Read(Suppliers, "s.csv", []byte("Supplier|Supplies|"+tc.heading+"\nNinefold|glass|"+tc.value+"\n"), Options{})
		if assert.Empty(t, s.Faults, tc.value) {
			assert.Equal(t, tc.want, s.Suppliers[0].Lead.String(), tc.heading+" "+tc.value)
		}
	}
	for _, value := range []string{"3 months", "soon", "", "8-6 weeks", "ARO"} {
		s := Read(Suppliers, "s.csv", []byte("Supplier|Supplies|Lead time\nNinefold|glass|"+value+"\n"), Options{})
		require.Len(t, s.Faults, 1, value)
	}
}

func TestReadHandovers_ABlankAreaBesideALevelIsTheWholeLevel(t *testing.T) {
	t.Parallel()
	s := Read(Handovers, "h.csv", []byte("Level,Area,Condition,Promised\nL1,East,Drywall,2026-12-01\n,,Ceiling grid,2026-12-02\nL1,,Power,2026-12-03\n"), Options{})
	require.Empty(t, s.Faults)
	require.Len(t, s.Handovers, 3)
	assert.Equal(t, []string{"l1 / east /  / walls_boarded", "l1 / east /  / ceiling_closed", "l1 /  /  / power_live"},
		[]string{s.Handovers[0].Key(), s.Handovers[1].Key(), s.Handovers[2].Key()})
}
