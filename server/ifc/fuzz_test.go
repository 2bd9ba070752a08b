package ifc_test

import (
	"errors"
	"strings"
	"testing"

	"jambwright/server/ifc"
)

func FuzzRead_NeverPanicsNorHangsAndKeepsItsPromises(f *testing.F) {
	f.Add(file(door("")))
	f.Add(file(feet + "#9=IFCDOOR('g',$,'\\X2\\00C4\\X0\\',$,$,$,$,'1',2.1,0.9,$,$,$);"))
	f.Add(file(metres + "#10=IFCCURTAINWALL('w',$,'CW',$,$,$,$,$,$);#11=IFCPLATE('a',$,'P',$,$,$,$,'1',$);#20=IFCRELAGGREGATES('r',$,$,$,#10,(#11,#10));"))
	f.Add(file(metres + "#9=IFCDOOR('g,$,'D');/* */ #1=(A()B());"))
	f.Add("ISO-10303-21;DATA;#1=IFCDOOR((((")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ifc.Read(strings.NewReader(text))
		var faults ifc.Faults
		switch {
		case err == nil:
			for _, o := range m.Openings {
				if o.Line < 1 || o.Entity == 0 || o.Width < 0 || o.Height < 0 || (o.Mark == "") != (o.MarkFrom == "") {
					t.Fatalf("incomplete opening %+v", o)
				}
			}
		case errors.As(err, &faults):
			if m != nil || len(faults) == 0 || len(faults) > 20 {
				t.Fatalf("%d faults beside a model %v", len(faults), m)
			}
			for _, fault := range faults {
				if fault.Line < 1 || fault.Line > strings.Count(text, "\n")+1 || fault.Message == "" || fault.Remedy == "" {
					t.Fatalf("incomplete fault %+v", fault)
				}
			}
		default:
			t.Fatalf("a file in memory cannot fail: %v", err)
		}
	})
}
