package body

import (
	"errors"
	"math"
	"strings"
	"testing"

	"aplomb/internal/numtest"
)

// published finds the row of a table by the name and the ends it has there.
func published(t *testing.T, file, segment, endsColumn, ends string) map[string]string {
	t.Helper()
	for _, row := range numtest.CSV(t, file) {
		if row["segment"] == segment && row[endsColumn] == ends {
			return row
		}
	}
	t.Fatalf("%s has no %s %s", file, segment, ends)
	return nil
}

// TestTables holds every number in the code against the published tables: de
// Leva 1996, Table 4, and Winter, Table 4.1.
func TestTables(t *testing.T) {
	rows := []struct{ part, segment, ends string }{
		{"head", "Head 2", "VERT-CERV"}, {"trunk", "Trunk 3", "MIDS-MIDH"}, {"upper arm", "Upper arm", "SJC-EJC"},
		{"forearm", "Forearm", "EJC-WJC"}, {"hand", "Hand 2", "WJC-DAC3"}, {"thigh", "Thigh", "HJC-KJC"},
		{"shank", "Shank", "KJC-AJC"}, {"foot", "Foot", "HEEL-TTIP"},
	}
	for i, r := range rows {
		row := published(t, "de_leva_1996_table4.csv", r.segment, "endpoints_proximal_distal", r.ends)
		for _, sex := range []struct {
			name string
			part part
		}{{"male", deLevaMale[i]}, {"female", deLevaFemale[i]}} {
			if sex.part.name != r.part {
				t.Fatalf("row %d is %s", i, sex.part.name)
			}
			numtest.Close(t, r.part+" mass, "+sex.name, sex.part.mass, numtest.Number(t, row["mass_frac_"+sex.name]), 0)
			numtest.Close(t, r.part+" centre, "+sex.name, sex.part.centre, numtest.Number(t, row["com_frac_"+sex.name]), 0)
		}
	}
	rows = []struct{ part, segment, ends string }{
		{"head", "Head neck", "C7T1-RIB1EAR"}, {"trunk", "Trunk", "GTR-SJC"}, {"upper arm", "Upper arm", "SJC-EJC"},
		{"forearm", "Forearm", "EJC-STYL"}, {"hand", "Hand", "WJC-KNU2"}, {"thigh", "Thigh", "GTR-KJC"},
		{"shank", "Leg", "KJC-MMAL"}, {"foot", "Foot", "LMAL-MT2"},
	}
	for i, r := range rows {
		row := published(t, "winter_dempster.csv", r.segment, "endpoints", r.ends)
		centre := numtest.Number(t, row["com_frac_proximal"])
		if r.part == "hand" { // wrist to fingertip here: see the comment at the table
			centre *= 0.3624 / 0.79
		}
		numtest.Close(t, r.part+" mass, Winter", winter[i].mass, numtest.Number(t, row["mass_frac"]), 0)
		numtest.Close(t, r.part+" centre, Winter", winter[i].centre, centre, 1e-15)
	}
}

// TestMassesSumToOne allows each table the rounding of its printed digits.
func TestMassesSumToOne(t *testing.T) {
	for _, table := range []Table{DeLeva, DeLevaMale, DeLevaFemale, Winter} {
		sum := 0.0
		for _, s := range table.Segments {
			sum += s.Mass
		}
		if len(table.Segments) != 14 || math.Abs(sum-1) > 1.01e-4 {
			t.Errorf("%s: %d segments sum to %.5f", table.Name, len(table.Segments), sum)
		}
	}
}

// TestWorkedExample is a straight handstand of round lengths, summed by hand.
func TestWorkedExample(t *testing.T) {
	type sum struct {
		Com float64 `json:"com_height_over_wrist_normalised"`
	}
	ex := numtest.JSON[struct {
		Heights      map[string]float64 `json:"heights_m"`
		Male, Female sum
	}](t, "com_worked_example.json")
	at := func(name string) Point { return Point{Y: ex.Heights[name]} }
	l := Landmarks{Vertex: at("vertex"), Neck: at("shoulder")}
	for _, s := range Both {
		l[Shoulders[s]], l[Elbows[s]], l[Wrists[s]], l[Hands[s]] = at("shoulder"), at("elbow"), at("wrist"), at("wrist")
		l[Hips[s]], l[Knees[s]], l[Ankles[s]], l[Toes[s]] = at("hip"), at("knee"), at("ankle"), at("toe")
	}
	for _, c := range []struct {
		table Table
		want  float64
	}{{DeLevaMale, ex.Male.Com}, {DeLevaFemale, ex.Female.Com}} {
		got, err := CentreOfMass(l, c.table)
		if err != nil {
			t.Fatal(err)
		}
		numtest.Close(t, c.table.Name, got.Y, c.want, 1e-9)
	}
}

// mocapNames are the names of the captured joints in ours.
func mocapNames() map[string]Landmark {
	names := map[string]Landmark{"head": Vertex, "head_top": Vertex, "neck": Neck}
	for _, pair := range [][2]Landmark{Shoulders, Elbows, Wrists, Hands, Hips, Knees, Ankles, Toes} {
		for _, s := range Both {
			_, joint, _ := strings.Cut(string(pair[s]), "_")
			names[strings.ToUpper(s.String()[:1])+"_"+joint] = pair[s]
		}
	}
	return names
}

func mocap(t *testing.T, file string) (frames []Landmarks) {
	t.Helper()
	names := mocapNames()
	for _, row := range numtest.CSV(t, file) {
		l := Landmarks{}
		for column, v := range row {
			at := strings.LastIndex(column, "_")
			name, ok := names[column[:max(at, 0)]]
			if !ok {
				continue
			}
			p := l[name]
			switch column[at+1:] {
			case "x":
				p.X = numtest.Number(t, v)
			case "y":
				p.Y = numtest.Number(t, v)
			case "z":
				p.Z = numtest.Number(t, v)
			}
			l[name] = p
		}
		frames = append(frames, l)
	}
	return frames
}

// TestMotionCapture: twelve captured frames of trial 88_02, eleven of them
// handstands, against forward kinematics written independently of this package.
// The coordinates have four decimals: a tenth of a degree, a tenth of a
// millimetre.
func TestMotionCapture(t *testing.T) {
	ref := numtest.JSON[struct {
		Frames []struct {
			Com      [2]float64 `json:"com_xy"`
			Over     float64    `json:"com_minus_mean_wrist_x"`
			Elbow    [2]float64 `json:"elbow_deg_3d"`
			Shoulder [2]float64 `json:"shoulder_deg_3d"`
			Hip      [2]float64 `json:"hip_deg_3d"`
			Knee     [2]float64 `json:"knee_deg_3d"`
		}
	}](t, "cmu_88_02_reference.json").Frames
	flat, deep := mocap(t, "cmu_88_02_sideview.csv"), mocap(t, "cmu_88_02_3d.csv")
	if len(ref) != 12 || len(flat) != 12 || len(deep) != 12 {
		t.Fatalf("%d, %d and %d frames", len(ref), len(flat), len(deep))
	}
	for i, want := range ref {
		com, err := CentreOfMass(flat[i], DeLevaMale)
		if err != nil {
			t.Fatal(err)
		}
		numtest.CloseAll(t, "centre of mass", []float64{com.X, com.Y}, want.Com[:], 2e-4)
		over, err := OverHands(flat[i], DeLevaMale)
		if err != nil {
			t.Fatal(err)
		}
		numtest.Close(t, "over the hands", over, want.Over, 2e-4)
		l := deep[i]
		for _, s := range Both {
			for _, a := range []struct {
				name       string
				from, b, c Landmark
				want       float64
			}{
				{"elbow", Shoulders[s], Elbows[s], Wrists[s], want.Elbow[s]},
				{"shoulder", Elbows[s], Shoulders[s], Hips[s], want.Shoulder[s]},
				{"hip", Shoulders[s], Hips[s], Knees[s], want.Hip[s]},
				{"knee", Hips[s], Knees[s], Ankles[s], want.Knee[s]},
			} {
				if got := Included(l[a.from], l[a.b], l[a.c]); math.Abs(got-a.want) > 0.1 {
					t.Errorf("frame %d, %s %s: %.2f, want %.2f", i, s, a.name, got, a.want)
				}
			}
		}
	}
}

func TestMissingLandmark(t *testing.T) {
	whole := Straight().landmarks(1.7, newFrame(0, 0), pressed{})
	for _, gone := range []Landmark{Vertex, LeftAnkle, RightHip, RightWrist} {
		l := Landmarks{}
		for n, p := range whole {
			if n != gone {
				l[n] = p
			}
		}
		if _, err := CentreOfMass(l, DeLeva); !errors.Is(err, ErrNoLandmark) || !strings.Contains(err.Error(), string(gone)) {
			t.Errorf("without %s: %v", gone, err)
		}
		if _, err := OverHands(l, DeLeva); !errors.Is(err, ErrNoLandmark) {
			t.Errorf("over the hands without %s: %v", gone, err)
		}
	}
	if _, err := CentreOfMass(whole, Winter); err != nil {
		t.Error(err)
	}
}
