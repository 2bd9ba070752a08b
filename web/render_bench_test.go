package web

import (
	"io"
	"testing"
)

func BenchmarkRender_TwoThousandOpenings(b *testing.B) {
	pages, err := Load()
	if err != nil {
		b.Fatal(err)
	}
	page := openingsPage(20, 100)
	b.ReportAllocs()
	for b.Loop() {
		if err := pages.Render(io.Discard, page); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRender_SixtyCrewsThreeWeeks(b *testing.B) {
	pages, err := Load()
	if err != nil {
		b.Fatal(err)
	}
	page := crewsPage(60)
	b.ReportAllocs()
	for b.Loop() {
		if err := pages.Render(io.Discard, page); err != nil {
			b.Fatal(err)
		}
	}
}
