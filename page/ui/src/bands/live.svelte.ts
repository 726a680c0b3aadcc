// What moves with the strip: the curve at once, then each slider's share, and
// once the hand rests the range under the curve and what there is to say of it.

import { newest } from '../newest'
import type { Findings } from '../types'
import { grid, movingGrid, NoAnswer, predict, rangeGrid, shares, type About, type Curve, type Shares } from './ask'

interface Question {
  job: About
  set: string
  hz: number
}

const rest = 180 // ms without a change until the range is asked for
const pause = 90 // ms without a change until the shares are asked for,
const readable = 350 // or so long after the last ones, while the hand does not pause

export class Live {
  curve = $state.raw<Curve | null>(null)
  range = $state.raw<Curve | null>(null)
  shares = $state.raw<Shares | null>(null)
  findings = $state.raw<Findings>([])
  private timer: ReturnType<typeof setTimeout> | undefined
  private reading: ReturnType<typeof setTimeout> | undefined
  private readAt = 0 // when the shares were last asked for
  private asked: Question | null = null

  /** before is called as a curve comes, for what is to be drawn with it. */
  constructor(
    private readonly complain: (error: unknown) => void,
    private readonly before: () => void = () => {},
  ) {}

  private readonly curves = newest<Question, Curve>({
    ask: (q, signal) => predict(q.job, q.set, movingGrid, true, signal),
    give: (curve, q) => {
      this.before()
      this.curve = curve
      this.readSoon(q)
    },
    fail: (error) => this.failed(error),
  })

  private readonly closer = newest<Question, Curve>({
    ask: (q, signal) => predict(q.job, q.set, grid, true, signal),
    give: (curve, q) => {
      this.curve = curve
      this.ranges.want(q)
    },
    fail: (error) => this.failed(error),
  })

  private readonly share = newest<Question, Shares>({
    ask: (q, signal) => shares(q.job, q.set, q.hz, signal),
    give: (s) => {
      this.shares = s
    },
    fail: () => {
      this.shares = null
    },
  })

  private readonly ranges = newest<Question, Curve>({
    ask: (q, signal) => predict(q.job, q.set, rangeGrid, false, signal),
    give: (range) => {
      this.range = range
      this.findings = range.findings
    },
    fail: () => {
      this.range = null
    },
  })

  /** Asks for a setting; what is still under way for another is overtaken. */
  want(q: Question): void {
    const last = this.asked
    this.asked = q
    if (last !== null && last.set === q.set && last.job.job === q.job.job && last.job.text === q.job.text) {
      if (last.hz !== q.hz) this.readNow(q) // only the reading's frequency changed
      return
    }
    this.curves.want(q)
    this.closer.stop()
    this.ranges.stop()
    this.range = null
    clearTimeout(this.timer)
    this.timer = setTimeout(() => this.closer.want(q), rest)
  }

  /** Asks for the shares once the hand pauses, and now and then before that:
   * figures that change faster cannot be read, and the curve needs the time. */
  private readSoon(q: Question): void {
    clearTimeout(this.reading)
    const due = this.readAt + readable - performance.now()
    this.reading = setTimeout(() => this.readNow(q), Math.max(0, Math.min(pause, due)))
  }

  private readNow(q: Question): void {
    clearTimeout(this.reading)
    this.readAt = performance.now()
    this.share.want(q)
  }

  stop(): void {
    clearTimeout(this.timer)
    clearTimeout(this.reading)
    this.curves.stop()
    this.closer.stop()
    this.share.stop()
    this.ranges.stop()
  }

  /** Shows nothing more. */
  forget(): void {
    this.stop()
    this.asked = null
    this.curve = this.range = this.shares = null
  }

  private failed(error: unknown): void {
    this.curve = null
    if (error instanceof NoAnswer) this.findings = error.findings
    else this.complain(error)
  }
}
