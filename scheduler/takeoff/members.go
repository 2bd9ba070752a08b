package takeoff

import (
	"fmt"

	"jambwright/scheduler/length"
)

// Role is what a member does in the frame.
type Role string

// The roles.
const (
	JambRole    Role = "jamb"
	HeadRole    Role = "head"
	MullionRole Role = "mullion"
	BarRole     Role = "transom bar"
	ChannelRole Role = "channel" // fixed to the floor or sill under fixed lights, takes the glass
	BaseRole    Role = "base"    // covers the channel
	TrimRole    Role = "trim"
	RailRole    Role = "rail" // a sliding leaf runs along it
)

// Member is Count pieces of one role and length.
type Member struct {
	Role   Role
	Length length.Length
	Count  int
}

// members lists the pieces of a frame, jambs first. Verticals run through, horizontals are cut between them.
//
// A piece is counted at its full length, however long: where stock is shorter, splices are the maker's and the shop drawings'
// matter, and add no fastener by these rules.
func members(o Opening, l *Layout) []Member {
	p := l.Profile
	list := []Member{
		{Role: JambRole, Length: l.Height, Count: 2},
		{Role: HeadRole, Length: l.Width - 2*p.Jamb, Count: 1},
	}
	if n := len(l.Mullions); n > 0 {
		list = append(list, Member{Role: MullionRole, Length: l.Height - p.Head, Count: n})
	}
	runs := l.runs()
	if l.Transom > 0 {
		for _, r := range runs {
			list = addPiece(list, BarRole, r.width)
		}
	}
	for _, role := range []Role{ChannelRole, BaseRole} {
		for _, r := range runs {
			if r.leaves == 0 {
				list = addPiece(list, role, r.width)
			}
		}
	}
	if p.TrimFaces > 0 {
		list = addTrim(list, o, l)
	}
	if o.Type == SlidingFront {
		list = append(list, rail(l))
	}
	return list
}

// addPiece adds one piece, to the member of the same role and length when there is one.
func addPiece(list []Member, role Role, piece length.Length) []Member {
	for i := range list {
		if list[i].Role == role && list[i].Length == piece {
			list[i].Count++
			return list
		}
	}
	return append(list, Member{Role: role, Length: piece, Count: 1})
}

// addTrim puts trim along the jambs and the head on each face, and along the sill of a frame that stands off the floor.
func addTrim(list []Member, o Opening, l *Layout) []Member {
	across := l.Profile.TrimFaces
	if o.SillHeight > 0 {
		across *= 2
	}
	return append(list,
		Member{Role: TrimRole, Length: l.Height, Count: 2 * l.Profile.TrimFaces},
		Member{Role: TrimRole, Length: l.Width, Count: across})
}

// rail is as long as the leaves' bay and the way they slide, but never longer than the frame: two leaves slide apart, one
// to each side.
func rail(l *Layout) Member {
	var bay length.Length
	for _, b := range l.Bays {
		if b.Leaves > 0 {
			bay += b.Width
		}
	}
	return Member{Role: RailRole, Length: min(2*bay, l.Width), Count: 1}
}

// fastenerRule says how the members of one role are fastened.
type fastenerRule struct {
	role    Role
	spacing length.Length // 0 means by screws in each end
	rows    int
	ends    int
	into    Substrate // "" when it is fastened to the frame itself
}

// fastenerRules lists the rules in the order in which they are shown. Base and trim snap on, a rail hangs from the head: they
// take no fasteners of their own. Floors under a frame are concrete unless something else is said; a sill above the floor is part
// of a stud wall.
func fastenerRules(o Opening, r Rules) []fastenerRule {
	floor := o.Floor
	if floor == "" {
		if floor = Concrete; o.SillHeight > 0 {
			floor = Stud
		}
	}
	return []fastenerRule{
		{role: JambRole, spacing: r.ScrewSpacing, rows: 1, into: firstSubstrate(o.Jambs)},
		{role: HeadRole, spacing: r.HeadSpacing, rows: r.HeadRows, into: firstSubstrate(o.Head)},
		{role: ChannelRole, spacing: r.ScrewSpacing, rows: 1, into: floor},
		{role: MullionRole, spacing: r.MullionSpacing, rows: 1},
		{role: BarRole, ends: r.BarScrews},
	}
}

func firstSubstrate(s Substrate) Substrate {
	if s == "" {
		return Stud
	}
	return s
}

// hair is the length by which a piece may be longer without a further fastener: what a division of a wall into equal lights leaves
// over, far below what a tape shows.
const hair = length.Millimetre / 100

// spaced is the number of fasteners in one row along a piece: one at each end and none farther apart than the spacing.
func spaced(piece, spacing length.Length) int {
	if piece <= 0 {
		return 0
	}
	return int((piece+spacing-1-min(hair, piece-1))/spacing) + 1
}

// count is the number of fasteners in all pieces of a member, with its working.
func (f fastenerRule) count(m Member) (int, Working) {
	if f.spacing == 0 {
		n := m.Count * 2 * f.ends
		return n, work(plural(m.Count, m.Role), " x 2 ends x ", f.ends, " = ", n)
	}
	each := spaced(m.Length, f.spacing)
	n := m.Count * f.rows * each
	w := work(plural(m.Count, m.Role), " x ")
	if f.rows > 1 {
		w = append(w, work(f.rows, " rows x ")...)
	}
	return n, append(w, work("(", m.Length, " / ", f.spacing, " rounded up = ", each-1, ", + 1) = ", n)...)
}

// plural writes a number of members: 1 jamb, 2 jambs.
func plural[T ~string](n int, what T) string {
	if n == 1 {
		return "1 " + string(what)
	}
	if what == "leaf" {
		return fmt.Sprintf("%d leaves", n)
	}
	return fmt.Sprintf("%d %ss", n, string(what))
}
