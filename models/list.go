package models

import (
	"database/sql/driver"
	"encoding/json"
	"fmt"
)

// List is a short list kept as JSON in one column. Nil is stored as an empty list and reads back as nil.
type List[T any] []T

// Value writes the list as JSON.
func (l List[T]) Value() (driver.Value, error) {
	if len(l) == 0 {
		return "[]", nil
	}
	text, err := json.Marshal([]T(l))
	return string(text), err
}

// Scan reads a JSON column of either database.
func (l *List[T]) Scan(source any) error {
	text, err := jsonText(source)
	if err != nil {
		return err
	}
	var items []T
	if err := json.Unmarshal(text, &items); err != nil {
		return fmt.Errorf("read a list column: %w", err)
	}
	*l = nil
	if len(items) > 0 {
		*l = items
	}
	return nil
}

// GormDataType names the kind of column.
func (List[T]) GormDataType() string { return "text" }

// JSON is a value kept as JSON in one column.
type JSON[T any] struct{ V T }

// Value writes the value as JSON.
func (j JSON[T]) Value() (driver.Value, error) {
	text, err := json.Marshal(j.V)
	return string(text), err
}

// Scan reads a JSON column of either database.
func (j *JSON[T]) Scan(source any) error {
	text, err := jsonText(source)
	if err != nil {
		return err
	}
	var v T
	if err := json.Unmarshal(text, &v); err != nil {
		return fmt.Errorf("read a JSON column: %w", err)
	}
	j.V = v
	return nil
}

// GormDataType names the kind of column.
func (JSON[T]) GormDataType() string { return "text" }

func jsonText(source any) ([]byte, error) {
	switch v := source.(type) {
	case string:
		return []byte(v), nil
	case []byte:
		return v, nil
	}
	return nil, fmt.Errorf("a JSON column holds %T, want text", source)
}
