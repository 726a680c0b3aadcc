// The one file that knows the plotting library: a level over a logarithmic
// frequency axis, in the proportions of IEC 60263, on graph paper with the
// printed sheet's ticks.

import uPlot from 'uplot'
import { dashes, edge, highHz, layout, lowHz, type Layout, type Line, type Picture, type Pen } from './picture'
import { frequencyTicks, type Tick } from './ticks'

const frequencies = frequencyTicks(lowHz, highHz)

/** The inks and the type as the style sheet has them now. */
interface Look {
  ink: string
  rule: string
  fine: string
  bold: string
  shade: string
  ground: string
  font: string
  pens: Record<Pen, string>
}

function lookOf(element: HTMLElement): Look {
  const style = getComputedStyle(element)
  const ink = (name: string): string => style.getPropertyValue(`--${name}`).trim()
  return {
    ink: ink('ink'),
    rule: ink('rule'),
    fine: ink('grid-fine'),
    bold: ink('grid-bold'),
    shade: ink('shade'),
    ground: ink('white'),
    font: `13px ${style.fontFamily}`,
    pens: { first: ink('first'), second: ink('second'), third: ink('third'), fourth: ink('fourth') },
  }
}

export class Plot {
  private u: uPlot
  private lay: Layout
  private look: Look
  private readonly needle: HTMLElement
  private needleHz: number | null = null

  /** home is an empty element; atHz hears where a pointer points. */
  constructor(
    private readonly home: HTMLElement,
    private picture: Picture,
    private readonly atHz: (hz: number) => void,
  ) {
    this.look = lookOf(home)
    this.lay = this.measured().lay
    this.needle = document.createElement('div')
    this.needle.className = 'needle'
    this.u = this.make()
  }

  /** Draws another picture, in the same frame as the call. */
  show(picture: Picture): void {
    const before = this.picture
    this.picture = picture
    if (!alike(before, picture)) this.again()
    else if (before.low !== picture.low || before.high !== picture.high) this.fit(true)
    else this.u.setData(aligned(picture), false)
    if (alike(before, picture)) this.u.redraw(true)
  }

  /** Fits the width of its place, and the height to the proportions. */
  fit(data = false): void {
    const { width, lay } = this.measured()
    if (width === this.u.width && lay.height === this.u.height && !data) return
    this.lay = lay
    if (data) this.u.setData(aligned(this.picture), false)
    this.u.setSize({ width, height: lay.height })
    this.place()
  }

  /** Reads inks and type again, as after dark was chosen or for paper. */
  relook(): void {
    this.look = lookOf(this.home)
    this.u.redraw(true, true)
  }

  /** Puts the needle at a frequency; null takes it away. */
  point(hz: number | null): void {
    this.needleHz = hz
    this.place()
  }

  destroy(): void {
    this.u.destroy()
  }

  private again(): void {
    this.u.destroy()
    this.u = this.make()
  }

  private make(): uPlot {
    const { width, lay } = this.measured()
    this.lay = lay
    const u = new uPlot(this.options(width), aligned(this.picture), this.home)
    u.over.append(this.needle)
    u.over.addEventListener('pointerdown', (e) => this.pointed(e))
    u.over.addEventListener('pointermove', (e) => this.pointed(e))
    queueMicrotask(() => this.place())
    return u
  }

  private measured(): { width: number; lay: Layout } {
    const width = Math.max(240, Math.floor(this.home.clientWidth))
    return { width, lay: layout(width, this.picture.low, this.picture.high) }
  }

  private place(): void {
    const hz = this.needleHz
    this.needle.hidden = hz === null
    if (hz !== null) this.needle.style.transform = `translateX(${Math.round(this.u.valToPos(hz, 'x'))}px)`
  }

  private pointed(event: PointerEvent): void {
    if (event.type === 'pointermove' && event.buttons === 0) return
    const hz = this.u.posToVal(event.clientX - this.u.over.getBoundingClientRect().left, 'x')
    this.atHz(Math.min(highHz, Math.max(lowHz, hz)))
  }

  private options(width: number): uPlot.Options {
    const shaded = this.picture.shade !== null
    return {
      width,
      height: this.lay.height,
      padding: [edge.top, edge.right, 0, 0],
      legend: { show: false },
      cursor: { show: false },
      scales: {
        x: { time: false, distr: 3, range: () => [lowHz, highHz] },
        y: { range: () => [this.lay.low, this.lay.high] },
      },
      axes: this.axes(),
      series: [{}, ...(shaded ? [{}, {}] : []), ...this.picture.lines.map((line, i) => this.series(line, i))],
      ...(shaded ? { bands: [{ series: [1, 2] as [number, number], fill: () => this.look.shade }] } : {}),
      hooks: { drawClear: [(u) => this.ground(u)], drawAxes: [(u) => this.frame(u)], draw: [(u) => this.marks(u), drawn] },
    }
  }

  private series(_: Line, i: number): uPlot.Series {
    const line = (): Line | undefined => this.picture.lines[i]
    const width = line()?.width ?? 1.75
    return {
      scale: 'y',
      width,
      points: { show: false },
      stroke: () => this.look.pens[line()?.pen ?? 'first'],
      dash: dashes[line()?.pattern ?? 'solid'],
    }
  }

  /** Fine lines first, so that bold ones stay whole. */
  private axes(): uPlot.Axis[] {
    const off = { show: false }
    const x = (major: boolean): uPlot.Axis => {
      const mine = frequencies.filter((t) => t.major === major)
      return {
        scale: 'x', side: 2, size: major ? edge.bottom : 0, gap: 6, font: this.look.font, ticks: off,
        stroke: () => this.look.ink,
        grid: { stroke: () => (major ? this.look.bold : this.look.fine), width: 1 },
        splits: () => mine.map((t) => t.value),
        values: (u) => mine.map((t) => wanted(t, u.width)),
        filter: (_, splits) => splits,
      }
    }
    const y = (major: boolean): uPlot.Axis => ({
      scale: 'y', side: 3, size: major ? edge.left : 0, gap: 6, font: this.look.font, ticks: off,
      stroke: () => this.look.ink,
      grid: { stroke: () => (major ? this.look.bold : this.look.fine), width: 1 },
      splits: () => this.lay.levels.filter((t) => t.major === major).map((t) => t.value),
      values: () => this.lay.levels.filter((t) => t.major === major).map((t) => t.label),
    })
    return [x(false), y(false), x(true), y(true)]
  }

  private ground(u: uPlot): void {
    const { left, top, width, height } = u.bbox
    u.ctx.fillStyle = this.look.ground
    u.ctx.fillRect(left, top, width, height)
  }

  /** The frame, the line of no change, and the units. */
  private frame(u: uPlot): void {
    const { left, top, width, height } = u.bbox
    const c = u.ctx
    const one = uPlot.pxRatio
    c.save()
    c.lineWidth = one
    if (this.lay.low < 0 && this.lay.high > 0) {
      c.strokeStyle = this.look.rule
      const y = Math.round(u.valToPos(0, 'y', true)) + one / 2
      stroke(c, left, y, left + width, y)
    }
    c.strokeStyle = this.look.ink
    c.strokeRect(left + one / 2, top + one / 2, width - one, height - one)
    c.fillStyle = this.look.ink
    c.font = scaled(this.look.font, one)
    c.textAlign = 'right'
    c.textBaseline = 'alphabetic'
    c.fillText('dB', left - 6 * one, top - 14 * one)
    c.fillText('Hz', left - 14 * one, top + height + 16 * one)
    c.restore()
  }

  /** The stated centres, their labels on as many rows as they need. */
  private marks(u: uPlot): void {
    const { top, height } = u.bbox
    const c = u.ctx
    const one = uPlot.pxRatio
    c.save()
    c.strokeStyle = this.look.rule
    c.fillStyle = this.look.ink
    c.lineWidth = one
    c.font = `bold ${scaled(this.look.font, one)}`
    c.textAlign = 'center'
    c.textBaseline = 'alphabetic'
    const ends = [-Infinity, -Infinity]
    for (const m of this.picture.marks) {
      const x = Math.round(u.valToPos(m.hz, 'x', true)) + one / 2
      c.setLineDash([one, 3 * one])
      stroke(c, x, top, x, top + height)
      c.beginPath()
      c.moveTo(x - 4 * one, top - 8 * one)
      c.lineTo(x + 4 * one, top - 8 * one)
      c.lineTo(x, top - one)
      c.fill()
      const half = c.measureText(m.label).width / 2 + 3 * one
      const row = ends.findIndex((end) => x - half > end)
      if (row < 0) continue
      ends[row] = x + half
      c.fillText(m.label, x, top - (12 + 15 * row) * one)
    }
    c.restore()
  }
}

/** Tells who measures that a picture is complete. */
function drawn(): void {
  performance.clearMarks(drawnMark)
  performance.mark(drawnMark)
}
const drawnMark = 'bandwright.drawn'

/** A narrow plot has room for every other number. */
const wanted = (t: Tick, width: number): string => (width < 460 && t.label.startsWith('5') ? '' : t.label)

const scaled = (font: string, ratio: number): string => font.replace(/^(\d+)px/, (_, px) => `${Number(px) * ratio}px`)

function stroke(c: CanvasRenderingContext2D, x1: number, y1: number, x2: number, y2: number): void {
  c.beginPath()
  c.moveTo(x1, y1)
  c.lineTo(x2, y2)
  c.stroke()
}

/** Do two pictures differ in their figures alone? */
function alike(a: Picture, b: Picture): boolean {
  const form = (p: Picture): string => JSON.stringify([p.shade !== null, p.lines.map((l) => [l.pattern, l.width])])
  return form(a) === form(b)
}

/** All lines over the frequencies of any of them. */
function aligned(p: Picture): uPlot.AlignedData {
  const tables = p.lines.map((l): uPlot.AlignedData => [l.hz as number[], l.db as (number | null)[]])
  const s = p.shade
  if (s !== null) tables.unshift([s.hz as number[], s.high as number[], s.low as number[]])
  return tables.length === 0 ? [[]] : uPlot.join(tables)
}
