package assess

// DrillUse is how much a drill was done. A set is as many tries as the library's
// set of it has, so it need not be a whole number of them.
type DrillUse struct {
	Drill    string  `json:"drill"`
	Students int     `json:"students"` // who did it
	Sets     float64 `json:"sets"`     // theirs, all in all
}

// uses are the drills of the library that somebody did.
func (r *roster) uses() []DrillUse {
	of := make([]DrillUse, len(r.lib.Drills))
	for i := range r.pupils {
		did := map[int]bool{}
		for k := range r.pupils[i].items {
			if it := &r.pupils[i].items[k]; it.drill >= 0 {
				did[it.drill] = true
				of[it.drill].Sets += r.setsOf(it)
			}
		}
		for drill := range did {
			of[drill].Students++
		}
	}
	out := []DrillUse{}
	for drill, u := range of {
		if u.Students > 0 {
			u.Drill = r.lib.Drills[drill].ID
			out = append(out, u)
		}
	}
	return out
}
