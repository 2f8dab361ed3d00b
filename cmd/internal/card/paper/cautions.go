package paper

// cautionsHeight is what the small print takes, mm.
const cautionsHeight = 13.0

// cautions is the small print: what no number on the card can know.
const cautions = "An estimate, not a promise: age, cold and history change capacity and voltage by tens of percent; check with a battery monitor. " +
	"Lead-acid gases while charging: ventilate, no sparks. Never charge lithium below 0 °C; its protection may cut off the whole bank. " +
	"Fuse every positive wire at the battery. Do not plan on the last ampere-hour: EPIRB, hand-held radio and its cells stay " +
	"independent of this bank. Makers' manuals, local codes and a licensed marine electrician come before this card."

func (s *sheet) cautions() {
	s.rule(s.left, s.bottom-3-cautionsHeight, s.right, s.bottom-3-cautionsHeight, 0.15)
	s.para(cautions, fine, s.left, s.right, s.bottom-3-cautionsHeight+0.8, 4)
}
