// Package week plans one student's week as an exact optimisation: which
// drills, at what dose, repeated in how many short sessions, with proof that
// no week is worth more.
//
// # The program
//
// The long sessions share one main list of drills; a chosen drill d has a main
// dose k and is repeated in y short sessions at its smallest dose. The worth
// of a week is a sum over components, each of at most two drills, of a
// saturating function of their sets, plus terms of single drills, less a price
// on unequal easy and challenge work. Every rule is linear in what the drills
// take of it, but for the placement of the short sessions. So the week is one
// choice of a card (no drill, one, or two with doses) for each component
// under 12 to 30 linear rows, and one exact check of the placement.
//
// # The bound
//
// With a price on each row, at least 0 and for the two rows of the easy and
// challenge mix at most its penalty, no week is worth more than
//
//	L = sum over rows of price * limit
//	  + sum over components of the greatest reduced gain of a card,
//
// the reduced gain being gain less the price of what the card takes (Lagrangian
// relaxation). This holds for any prices; the best come from the linear
// program over cards, solved by column generation. Prices are rounded to
// multiples of 1/1024 and L is summed in integers, so neither rounding errors
// nor an early end of the simplex can make a false proof: they only make the
// bound weaker. The first two tie-breaks are folded into the gain (gain
// times a weight, less a term for each drill, plus one for each of last
// week's), so that most ties are pruned too.
//
// Against L a week loses, exactly, the sum over its cards of greatest less own
// reduced gain, the price of what it leaves of each row, and what a row of
// the mix costs beyond its price. A sweep lists the cards that lose at most
// a cut-off and walks their combinations depth first, pruning by the loss so
// far and by what the rest must leave or exceed. Once the cut-off reaches the
// distance of the best week from L, nothing better or equal can be outside.
//
// Where that takes too many cards or nodes, the search branches: a drill in or
// out, then its dose, then its short sessions; parts that no card within reach
// contains are dropped for the whole branch.
//
// # Pairs
//
// A component with hundreds of parts has a hundred thousand pairs. What one
// part adds to another falls with the effort of the other, as the worth of
// effort is concave, so bounds for a bucket of parts at a time leave few
// pairs to look at. With a massing table that is not concave, all are.
//
// # Choices where the design leaves room
//
// After the list of file positions, ties go to the smaller doses, compared
// drill by drill in file order, then to the fewer short sessions likewise.
// The named group "short sessions" is their minutes, hand minutes and two
// drills each; "session time" and "hand load per session" are the long ones'.
// Short sessions are placed so that hard work (strength, the components and
// the heavy hand load of [Habits]) is within 48 hours of other hard work as
// seldom as can be; days are compared, so two days apart counts as 48 hours.
//
// No clock is read but the one of [Options], and nothing is shared between
// calls, so any number may run at once.
package week
