package problem

import (
	"fmt"
	"io"
)

// Read reads a problem document strictly: unknown or repeated fields, wrong types, missing fields, and times without
// an offset are faults, and so is everything that Validate refuses. All faults of the document come back at once, as
// a Faults error; faults of syntax alone stop earlier, because nothing behind them can be trusted. Any other error is
// the reader's own.
//
// Instants come back in UTC. Cost is linear in the document.
func Read(r io.Reader) (*Problem, error) {
	w, err := open(r)
	if err != nil {
		return nil, err
	}
	p := object(w, problemFields)
	faults := append(w.faults, validate(&p, w.faults)...)
	if err := faults.Err(); err != nil {
		return nil, err
	}
	return &p, nil
}

// ReadPlan reads a plan document as strictly as Read reads a problem. It does not judge the plan.
func ReadPlan(r io.Reader) (*Plan, error) {
	w, err := open(r)
	if err != nil {
		return nil, err
	}
	p := object(w, planFields)
	if err := w.faults.Err(); err != nil {
		return nil, err
	}
	return &p, nil
}

func open(r io.Reader) (*walker, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("reading the document: %w", err)
	}
	return newWalker(data)
}
