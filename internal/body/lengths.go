package body

// Lengths of a body 1 high: Drillis R, Contini R (1966) Body segment parameters,
// report 1166-03, New York University, as drawn in Winter, Biomechanics and
// Motor Control of Human Movement, fig. 4.1. Trunk, arm and leg lengths and the
// heights they add up to were read on a later copy; hand and foot are from memory,
// and within 0.013 of de Leva's mean lengths over the mean heights of the people
// he measured.
const (
	upperArm = 0.186
	forearm  = 0.146
	hand     = 0.108 // wrist to fingertip
	trunk    = 0.288 // shoulders to hips
	thigh    = 0.245
	shank    = 0.246
	foot     = 0.152 // heel to toe
	sole     = 0.039 // the ankle above the sole
	shoulder = 0.818 // height of the shoulders, standing

	// The head from vertex to the seventh neck vertebra: de Leva 1996, Table 4,
	// 243 mm at 1741 and 1735 mm mean height (heights from memory).
	head = 0.140
)

// Lengths that only drawing needs: taken, no source.
const (
	neckBase      = 1 - shoulder - head // the neck vertebra above the shoulders
	earUp         = 0.074               // the ear canal above the neck vertebra
	noseOut       = 0.068               // the nose in front of the ear
	eyeOut        = 0.060
	eyeUp         = 0.015
	halfShoulders = 0.095 // a shoulder joint from the middle
	halfHips      = 0.050
	heelBack      = 0.25 * foot // the heel behind the ankle
)

// What the hands can press on, from the wrist, of a body 1 high: to the finger
// pads 15 cm and to the heel of the hand 3 cm at 1.70 m (common practice, no
// source), hand length in proportion.
const (
	padsAhead  = 0.15 / 1.70
	palmBehind = 0.03 / 1.70
)

// Thicknesses of a body 1 high, taken, no source.
const (
	// HeadRadius is that of the head seen as a disc round the ear.
	HeadRadius = 0.062
	// TrunkRadius is how much further the trunk's skin is from its line than a
	// limb's, so that both can rest on one floor.
	TrunkRadius = 0.024
	halfPalm    = 0.025
)
