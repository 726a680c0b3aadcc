package sparse

// Count is the work of a program: real operations a lane, and the passes over
// a block they are done in.
type Count struct {
	Multiplies, Adds, Divides int
	Passes                    int
}

// Operations is the sum of all.
func (c Count) Operations() int { return c.Multiplies + c.Adds + c.Divides }

// Plus adds two counts.
func (c Count) Plus(d Count) Count {
	return Count{c.Multiplies + d.Multiplies, c.Adds + d.Adds, c.Divides + d.Divides, c.Passes + d.Passes}
}

// work is what one operation does to a lane.
var work = [opCount]Count{
	opScale:     {1, 0, 0, 1},
	opMul:       {1, 0, 0, 1},
	opConAdd:    {0, 1, 0, 1},
	opConScale:  {1, 1, 0, 1},
	opConMul:    {1, 1, 0, 1},
	opAdd:       {0, 1, 0, 1},
	opSub:       {0, 1, 0, 1},
	opAddScale:  {1, 1, 0, 1},
	opAddMul:    {1, 1, 0, 1},
	opSubMul:    {1, 1, 0, 1},
	opScaleAdd:  {2, 1, 0, 1},
	opScaleMul:  {2, 1, 0, 1},
	opMulAddMul: {2, 1, 0, 1},
	opMulSubMul: {2, 1, 0, 1},
	opSum:       {4, 3, 0, 1},
	opCMulAdd:   {4, 4, 0, 1},
	opCMulSub:   {4, 4, 0, 1},
	opRecip:     {0, 0, 1, 1},
	opCRecip:    {4, 1, 1, 1},
	opFill:      {0, 0, 0, 1},
	opWatch:     {4, 4, 0, 1},
	opWatchK:    {2, 1, 0, 1},
	opWatchCon:  {2, 2, 0, 1},
	opWatchQ:    {3, 2, 0, 1},
	opSize:      {0, 1, 0, 1},
}

func (p *program) count() (c Count) {
	for _, o := range p.ops {
		c = c.Plus(work[o.code])
	}
	return c
}

// operations weighs a program for choosing between two that do the same.
func (p *program) operations() int {
	c := p.count()
	return c.Multiplies + c.Adds + 4*c.Divides + c.Passes
}

// Ops is the work of Factor, a lane.
func (p *Plan) Ops() Count { return p.prog.count() }

// Ops is the work of Solve, a lane.
func (s *SolvePlan) Ops() Count { return s.prog.count() }
