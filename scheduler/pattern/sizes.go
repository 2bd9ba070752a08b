package pattern

import (
	"cmp"
	"slices"
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

// FieldSize is a size of an opening that was measured on site.
type FieldSize struct {
	At            time.Time
	Width, Height length.Length
}

// ItemOrder says how an item of an opening is ordered.
type ItemOrder struct {
	Item    Item
	Basis   OrderBasis // "" reads as DefaultBasis of the item
	Ordered *time.Time // nil while it is not
}

// ItemSize says which size of the opening an item is made to.
type ItemSize struct {
	Basis   OrderBasis
	Ordered *time.Time
	Used    *FieldSize // nil: the drawings'
	// Later is the field size that stands when it was measured after the item was ordered to another one.
	Later *FieldSize
}

// SizeOf finds the size that an item is made to. An order from the drawings is made to them whatever was measured; any other
// one to the newest field size, or when it is placed already to the newest that was measured by then. sizes are in the
// order in which they were measured.
func SizeOf(order ItemOrder, sizes []FieldSize) ItemSize {
	s := ItemSize{Basis: cmp.Or(order.Basis, DefaultBasis(order.Item)), Ordered: order.Ordered}
	var newest *FieldSize
	for i := range sizes {
		newest = &sizes[i]
		if s.Basis != FromDrawings && (order.Ordered == nil || !newest.At.After(*order.Ordered)) {
			s.Used = newest
		}
	}
	if newest != nil && order.Ordered != nil && newest.At.After(*order.Ordered) {
		s.Later = newest
	}
	return s
}

// MadeTo is an opening as an item of it is made. ok is false when the size used cannot be built; it is then as drawn.
func (s ItemSize) MadeTo(o takeoff.Opening, rules takeoff.Rules) (made takeoff.Opening, ok bool) {
	if s.Used == nil {
		return o, true
	}
	return o.Measured(s.Used.Width, s.Used.Height, rules)
}

// LeadingItem is the item whose size the quantities and hours of a whole opening go by: glass, which is the heaviest and cut
// the closest, then the frame kit, then the leaves. false when orders hold none of them.
func LeadingItem(orders []ItemOrder) (ItemOrder, bool) {
	for _, item := range []Item{Glass, FrameKit, Leaf} {
		if i := slices.IndexFunc(orders, func(o ItemOrder) bool { return o.Item == item }); i >= 0 {
			return orders[i], true
		}
	}
	return ItemOrder{}, false
}
