package report

import "bandwright/fault"

// HumWay says in words by which way hum comes in.
func HumWay(name, band string) string {
	switch name {
	case fault.HumCoil:
		return "the transformer's field, in the coil of " + band
	case fault.HumLead:
		return "the footswitch lead, on the legs' common"
	case fault.HumRail:
		return "ripple on the board's rail"
	case fault.HumBefore:
		return "along with the signal, from before the equaliser"
	case fault.HumAfter:
		return "behind the equaliser"
	}
	return name
}

// HumTake says in words how a take is made.
func HumTake(t fault.HumTake, band string) string {
	switch t {
	case fault.HumFlat:
		return "flat: every slider centred, nothing played"
	case fault.HumUp:
		return band + " at full boost, the others centred"
	case fault.HumShorted:
		return band + " at full boost, the footswitch lead shorted at its jack"
	}
	return band + " at full boost, its coil turned by a right angle: power off, discharged and proved dead before a hand goes in; fix it again before power"
}
