package ifc_test

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/server/ifc"
)

// tower makes an invented building model while it is read: door after door, each with its type, property sets, placement and
// about eight kilobytes of the shapes that surround doors in real models. It also watches the memory of the process.
type tower struct {
	doors   int // to make
	made    int
	begun   bool
	part    []byte
	written int64
	peak    uint64 // highest heap seen
}

func (w *tower) Read(p []byte) (int, error) {
	if len(w.part) == 0 {
		if !w.next() {
			return 0, io.EOF
		}
	}
	n := copy(p, w.part)
	w.part = w.part[n:]
	w.written += int64(n)
	return n, nil
}

// next makes the next part of the file and reports whether there is one.
func (w *tower) next() bool {
	w.part = w.part[:0:0]
	line := func(format string, args ...any) { w.part = fmt.Appendf(w.part, format+"\n", args...) }
	switch {
	case !w.begun:
		w.begun = true
		line("ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n%s", metres)
		for storey := range 50 {
			line("#%d=IFCBUILDINGSTOREY('s',$,'Level %d',$,$,$,$,$,.ELEMENT.,%d.);", 10+storey, storey+1, 4*storey)
		}
	case w.made < w.doors:
		if w.made%200 == 0 {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			w.peak = max(w.peak, m.HeapAlloc)
		}
		w.door(line, 1000+200*w.made)
		w.made++
	case w.made == w.doors:
		w.made++
		line("ENDSEC;\nEND-ISO-10303-21;")
	default:
		return false
	}
	return true
}

func (w *tower) door(line func(string, ...any), id int) {
	line("#%d=IFCDOOR('0tA4DSHd50le6Ov9Yu0I9X',#2,'Door %d',$,'T',#%d,#%d,'%d',2.0999999999999996,0.8999999999999999,.DOOR.,.SINGLE_SWING_LEFT.,$);", id, w.made, id+20, id+21, 500000+w.made)
	line("#%d=IFCPROPERTYSINGLEVALUE('Mark',$,IFCLABEL('D%d'),$);", id+1, w.made)
	for i := range 12 {
		line("#%d=IFCPROPERTYSINGLEVALUE('Property %d of a door',$,IFCLABEL('some value of it'),$);", id+2+i, i)
	}
	line("#%d=IFCPROPERTYSET('x',#2,'Identity',$,(#%d,#%d,#%d,#%d));", id+15, id+1, id+2, id+3, id+4)
	line("#%d=IFCRELDEFINESBYPROPERTIES('r',#2,$,$,(#%d),#%d);", id+16, id, id+15)
	line("#%d=IFCRELCONTAINEDINSPATIALSTRUCTURE('c',#2,$,$,(#%d),#%d);", id+17, id, 10+w.made%50)
	for i := range 100 {
		line("#%d=IFCCARTESIANPOINT((%d.1234567,%d.7654321,-12.25));", id+30+i, i, w.made)
	}
	line("#%d=IFCPOLYLOOP((#%d,#%d,#%d));", id+150, id+30, id+31, id+32)
}

// A source that makes the file as it is read shows that nothing waits for the end of it.
func TestRead_AModelOfManyDoorsIsReadWhileItStreams(t *testing.T) {
	t.Parallel()
	w := &tower{doors: 1500}
	m, err := ifc.Read(w)
	require.NoError(t, err)
	require.Len(t, m.Openings, 1500)
	assert.Len(t, m.Storeys, 50)
	assert.Greater(t, w.written, int64(8<<20))
	assert.Equal(t, "D49", m.Openings[len(m.Openings)-30].Mark, "30 doors stand on each of 50 levels")
	assert.Equal(t, "900", m.Openings[0].Width.Millimetres())
}

// BenchmarkRead_HundredMegabytes reads a model of 100 MB with some thirteen thousand doors. The bounds it is held to are 30 s
// and 500 MB.
func BenchmarkRead_HundredMegabytes(b *testing.B) {
	for b.Loop() {
		w := &tower{doors: 13_500}
		m, err := ifc.Read(w)
		require.NoError(b, err)
		require.Len(b, m.Openings, w.doors)
		require.Less(b, w.peak, uint64(500<<20))
		b.SetBytes(w.written)
		b.ReportMetric(float64(w.peak)/(1<<20), "peak-MB")
		b.ReportMetric(float64(w.written)/1e6, "file-MB")
	}
}

// Each of these files is small and, followed naively, takes hours: what relates everything with everything, or nests without
// end. They are built to the size at which a square of it would show.
func TestRead_AHostileFileTakesNoLongerThanALargeOne(t *testing.T) {
	t.Parallel()
	const n = 20_000
	list := func(from int) string {
		refs := make([]string, n)
		for i := range refs {
			refs[i] = fmt.Sprintf("#%d", from+i)
		}
		return "(" + strings.Join(refs, ",") + ")"
	}
	each := func(format string, from int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, format, from+i)
		}
		return b.String()
	}
	doors := each("#%d=IFCDOOR('g',$,'D',$,$,$,$,'1',2.,1.,$,$,$);\n", 100_000)
	for name, text := range map[string]string{
		"nested backwards": doors + func() string {
			var b strings.Builder
			for i := n; i > 0; i-- {
				fmt.Fprintf(&b, "#%d=IFCRELAGGREGATES('r',$,$,$,#%d,(#%d));\n", 300_000+i, 100_000+i, 100_000+i-1)
			}
			return b.String()
		}(),
		"one set of all for all": doors + each("#%d=IFCPROPERTYSINGLEVALUE('Mark',$,IFCLABEL(''),$);\n", 200_000) +
			"#10=IFCPROPERTYSET('x',$,'S',$," + list(200_000) + ");#11=IFCRELDEFINESBYPROPERTIES('r',$,$,$," + list(100_000) + ",#10);",
		"one type with all sets": doors + each("#%d=IFCPROPERTYSET('x',$,'S',$,());\n", 200_000) +
			"#10=IFCDOORTYPE('t',$,'T',$,$," + list(200_000) + ",$,$,$,$,$,$,$);#11=IFCRELDEFINESBYTYPE('r',$,$,$," + list(100_000) + ",#10);",
		"all rooms beside one door": doors + each("#%d=IFCSPACE('s',$,'%[1]d',$,$,$,$,$,$,$,$);\n", 200_000) +
			each("#4%05[1]d=IFCRELSPACEBOUNDARY('b',$,$,$,#2%05[1]d,#100000);\n", 0),
	} {
		begin := time.Now()
		m, err := ifc.Read(strings.NewReader(file(metres + text)))
		require.NoError(t, err, name)
		assert.Len(t, m.Openings, n, name)
		assert.Less(t, time.Since(begin), 20*time.Second, name)
	}
	sets := "#11=IFCRELDEFINESBYPROPERTIES('r',$,$,$," + list(100_000) + ",IFCPROPERTYSETDEFINITIONSET(" + list(200_000) + "));"
	assert.Contains(t, faults(t, file(metres+doors+sets)).Error(), "relates more than")
}
