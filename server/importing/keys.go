package importing

import "strings"

// key joins the parts that tell one row from another. Case and white space do not count, except in marks.
func key(parts ...string) string {
	for i, p := range parts {
		parts[i] = strings.ToLower(strings.Join(strings.Fields(p), " "))
	}
	return strings.Join(parts, " / ")
}

// Key is the mark, exactly as written.
func (o OpeningRow) Key() string { return o.Mark }

// Key is the crew's name.
func (c CrewRow) Key() string { return key(c.Name) }

// Key is the place and the condition.
func (h HandoverRow) Key() string { return key(h.Level, h.Area, h.Room, h.Condition) }

// Key is the supplier and the items of the row.
func (s SupplierRow) Key() string { return key(s.Name, strings.Join(s.Items, ", ")) }

// Key is the kind of work, the type and what the rate is for; of a factor the kind of work and the condition.
func (r RateRow) Key() string {
	if r.Condition != "" {
		return key(string(r.Work), "condition", string(r.Condition))
	}
	return key(string(r.Work), string(r.Type), string(r.Driver))
}

// Key is the date's name.
func (g GCDateRow) Key() string { return key(g.Name) }
