package practice

func at(v float64) *float64 { return &v }

func of(vs ...float64) []float64 { return vs }

func on(cs ...Carrier) []Carrier { return cs }

// presets are the shapes drills begin with, by name. They were set by eye.
var presets = map[string]Pose{
	// On the feet.
	"stand":         {On: on("feet"), Trunk: at(0), Shoulders: of(14)},
	"stand-arms-up": {Preset: "stand", Shoulders: of(180)},
	"lunge":         {On: on("near-foot", "far-toes"), Trunk: at(8), Shoulders: of(178), Hips: of(105, 195), Knees: of(115, 172), Ankles: of(90, 100)},
	"lever":         {On: on("near-foot"), Shoulders: of(178), Hips: of(80, 180), Knees: of(175, 180), Ankles: of(90, 155), Head: at(15)},
	"squat":         {On: on("feet"), Shoulders: of(140), Hips: of(62), Knees: of(60)},
	"fold":          {On: on("feet"), Shoulders: of(100), Hips: of(62), Head: at(-10)},
	"kneel":         {On: on("knees"), Trunk: at(0), Ankles: of(170)},

	// Hands and something else.
	"crouch":          {On: on("hands", "toes"), Trunk: at(75), Shoulders: of(85), Hips: of(45), Knees: of(55), Ankles: of(95), Head: at(25)},
	"crouch-hop":      {On: on("hands"), Trunk: at(98), Moment: Passing, Shoulders: of(105), Hips: of(45), Knees: of(45), Ankles: of(140), Head: at(25)},
	"frog":            {On: on("hands"), Shoulders: of(40), Elbows: of(85), Hips: of(48), Knees: of(35), Ankles: of(150), Head: at(45)},
	"front-support":   {On: on("hands", "toes"), Shoulders: of(72), Ankles: of(100), Push: Tall},
	"forearm-plank":   {On: on("forearms", "toes"), Shoulders: of(82), Ankles: of(98), Push: Tall},
	"hands-and-knees": {On: on("hands", "knees"), Shoulders: of(76), Hips: of(105), Ankles: of(170)},
	"pike-support":    {On: on("hands", "toes"), Shoulders: of(172), Hips: of(85), Ankles: of(100)},
	"box-pike":        {On: on("hands", "toes"), Trunk: at(178), Shoulders: of(178), Hips: of(90), Ankles: of(110), Box: &Box{Height: 0.6, Under: "toes"}},

	// Lying and sitting.
	"back":     {On: on("back"), Trunk: at(270), Shoulders: of(175), Hips: of(177), Ankles: of(120)},
	"hollow":   {On: on("back"), Trunk: at(282), Shoulders: of(168), Hips: of(146), Ankles: of(160), Spine: at(40), Head: at(-20)},
	"belly":    {On: on("belly"), Trunk: at(90), Shoulders: of(180), Ankles: of(165), Head: at(20)},
	"arch":     {On: on("belly"), Trunk: at(76), Shoulders: of(180), Hips: of(206), Ankles: of(165), Spine: at(-40), Head: at(5)},
	"side":     {On: on("side"), View: FrontView, Trunk: at(0), Lean: at(90), Shoulders: of(180), Ankles: of(165)},
	"sit":      {On: on("seat"), Trunk: at(0), Shoulders: of(52), Hips: of(87), Ankles: of(110)},
	"straddle": {Preset: "sit", View: FrontView, Shoulders: of(180), LegsApart: of(60)},

	// Upside down and free: the trunk is left out, so they balance.
	"handstand":          {On: on("hands"), Shoulders: of(180), Ankles: of(165), Push: Tall, Head: at(12)},
	"tuck-handstand":     {Preset: "handstand", Hips: of(60), Knees: of(50), Ankles: of(150)},
	"pike-handstand":     {Preset: "handstand", Hips: of(85)},
	"straddle-handstand": {Preset: "handstand", View: FrontView, LegsApart: of(55)},
	"stag-handstand":     {Preset: "handstand", Hips: of(115, 180), Knees: of(70, 180)},
	"split-handstand":    {Preset: "handstand", Hips: of(215, 125)},
	"press-start":        {On: on("hands", "toes"), Shoulders: of(150), Hips: of(38), Ankles: of(130), Head: at(20)},
	"one-arm":            {Preset: "handstand", On: on("near-hand"), View: FrontView, LegsApart: of(35), Lean: at(-12), ArmsApart: of(6, 80)},

	// On the way up from a lunge.
	"kick":      {On: on("hands", "near-toes"), Trunk: at(128), Moment: Passing, Shoulders: of(172), Hips: of(60, 180), Knees: of(165, 180), Ankles: of(120, 160)},
	"half-kick": {Preset: "handstand", Hips: of(195, 95), Moment: Passing},

	// At a wall.
	"chest-to-wall": {Preset: "handstand", Wall: &Beside{Side: ChestSide, Touch: TouchToes, Distance: at(0.2)}},
	"back-to-wall":  {Preset: "handstand", Ankles: of(120), Wall: &Beside{Side: BackSide, Touch: TouchHeels, Distance: at(0.25)}},
	"wall-half":     {On: on("hands"), Trunk: at(182), Shoulders: of(178), Hips: of(90), Ankles: of(95), Push: Tall, Wall: &Beside{Side: ChestSide, Touch: TouchToes}},
	"wall-walk":     {On: on("hands"), Shoulders: of(140), Hips: of(165), Ankles: of(110), Push: Tall, Wall: &Beside{Side: ChestSide, Touch: TouchToes, Distance: at(0.9)}},
}
