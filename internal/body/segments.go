package body

// Segment is one part of the body: its share of the whole mass, and where its
// centre lies between two ends. An end of two landmarks is half way between.
type Segment struct {
	Name     string
	From, To []Landmark // the near (or upper) end and the far one
	Mass     float64    // fraction of the body's mass
	Centre   float64    // fraction of the length, from From
}

// Table is a published set of segments that make a whole body.
type Table struct {
	Name     string
	Segments []Segment
}

// part is one row of a table; a limb's row stands for both sides.
type part struct {
	name         string
	mass, centre float64
}

// de Leva P (1996) Adjustments to Zatsiorsky-Seluyanov's segment inertia
// parameters. J Biomech 29(9):1223-1230, Table 4. Ends: head VERT-CERV, trunk
// MIDS-MIDH, upper arm SJC-EJC, forearm EJC-WJC, hand WJC-DAC3, thigh HJC-KJC,
// shank KJC-AJC; the foot is HEEL-TTIP there.
var (
	deLevaMale = []part{{"head", 0.0694, 0.5002}, {"trunk", 0.4346, 0.4310}, {"upper arm", 0.0271, 0.5772},
		{"forearm", 0.0162, 0.4574}, {"hand", 0.0061, 0.3624}, {"thigh", 0.1416, 0.4095}, {"shank", 0.0433, 0.4395}, {"foot", 0.0137, 0.4415}}
	deLevaFemale = []part{{"head", 0.0668, 0.4841}, {"trunk", 0.4257, 0.3782}, {"upper arm", 0.0255, 0.5754},
		{"forearm", 0.0138, 0.4559}, {"hand", 0.0056, 0.3427}, {"thigh", 0.1478, 0.3612}, {"shank", 0.0481, 0.4352}, {"foot", 0.0129, 0.4014}}
)

// Winter DA, Biomechanics and Motor Control of Human Movement, Table 4.1 (after
// Dempster). Ends: head and neck C7-T1 to the ear canal, trunk shoulder to hip
// (0.500 either way), hand wrist axis to knuckle II. The knuckle lies at 0.4588
// of the way from the wrist to the fingertip: de Leva's two hand rows put the
// same centre at 0.3624 of wrist to fingertip and 0.7900 of wrist to knuckle.
var winter = []part{{"head", 0.081, 1}, {"trunk", 0.497, 0.5}, {"upper arm", 0.028, 0.436},
	{"forearm", 0.016, 0.430}, {"hand", 0.006, 0.506 * 0.3624 / 0.79}, {"thigh", 0.100, 0.433}, {"shank", 0.0465, 0.433}, {"foot", 0.0145, 0.5}}

// The tables. The feet run from ankle to toe in all of them, because a picture
// shows no heel; against heel to toe that moves the centre of mass by less than
// two millimetres. The table of both is the mean of the two sexes.
var (
	DeLevaMale   = table("de Leva 1996, male", deLevaMale, Vertex, Neck)
	DeLevaFemale = table("de Leva 1996, female", deLevaFemale, Vertex, Neck)
	DeLeva       = table("de Leva 1996, mean of both sexes", halfway(deLevaMale, deLevaFemale), Vertex, Neck)
	Winter       = table("Winter, after Dempster", winter, Neck, LeftEar, RightEar)
)

func halfway(a, b []part) []part {
	out := make([]part, len(a))
	for i := range a {
		out[i] = part{a[i].name, (a[i].mass + b[i].mass) / 2, (a[i].centre + b[i].centre) / 2}
	}
	return out
}

// limbs are the ends of the rows that stand for both sides.
var limbs = map[string][2][2]Landmark{
	"upper arm": {Shoulders, Elbows}, "forearm": {Elbows, Wrists}, "hand": {Wrists, Hands},
	"thigh": {Hips, Knees}, "shank": {Knees, Ankles}, "foot": {Ankles, Toes},
}

func table(name string, parts []part, headFrom Landmark, headTo ...Landmark) Table {
	t := Table{Name: name}
	for _, p := range parts {
		switch ends, paired := limbs[p.name]; {
		case p.name == "head":
			t.Segments = append(t.Segments, Segment{p.name, []Landmark{headFrom}, headTo, p.mass, p.centre})
		case p.name == "trunk":
			t.Segments = append(t.Segments, Segment{p.name, Shoulders[:], Hips[:], p.mass, p.centre})
		case paired:
			for _, s := range Both {
				t.Segments = append(t.Segments, Segment{s.String() + " " + p.name,
					[]Landmark{ends[0][s]}, []Landmark{ends[1][s]}, p.mass, p.centre})
			}
		default:
			panic("body: no ends for the segment " + p.name)
		}
	}
	return t
}

// CentreOfMass is the mean of the segments' centres, weighted by their masses
// and divided by the masses' sum: the published fractions add up to 1 only
// within their rounding.
//
// Assumptions: every segment is rigid and its centre lies on the line between
// its ends; the trunk is one straight piece, so a rounded or hollow back is not
// seen. Against a person the fractions are off by what bodies differ. Reference:
// Winter DA, Biomechanics and Motor Control of Human Movement, ch. 4. The error
// wraps [ErrNoLandmark].
func CentreOfMass(l Landmarks, t Table) (Point, error) {
	var sum Point
	mass := 0.0
	for _, s := range t.Segments {
		from, err := l.need(s.From...)
		if err != nil {
			return Point{}, err
		}
		to, err := l.need(s.To...)
		if err != nil {
			return Point{}, err
		}
		a, b := mean(from), mean(to)
		sum = sum.Add(a.Add(b.Sub(a).Times(s.Centre)).Times(s.Mass))
		mass += s.Mass
	}
	return sum.Times(1 / mass), nil
}

func mean(ps []Point) (m Point) {
	for _, p := range ps {
		m = m.Add(p)
	}
	return m.Times(1 / float64(len(ps)))
}

// OverHands is how far the centre of mass lies from the point half way between
// the wrists, along x: in a handstand that faces -x, as one kicked up to from
// facing +x does, positive is towards the fingers. Errors as [CentreOfMass].
func OverHands(l Landmarks, t Table) (float64, error) {
	wrists, err := l.need(Wrists[:]...)
	if err != nil {
		return 0, err
	}
	com, err := CentreOfMass(l, t)
	return com.X - mean(wrists).X, err
}
