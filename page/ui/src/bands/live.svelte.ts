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
const readable = 100 // ms between two readings of the shares: figures that change faster cannot be read

export class Live {
  curve = $state.raw<Curve | null>(null)
  range = $state.raw<Curve | null>(null)
  shares = $state.raw<Shares | null>(null)
  findings = $state.raw<Findings>([])
  private timer: ReturnType<typeof setTimeout> | undefined
  private reading: ReturnType<typeof setTimeout> | undefined
  private read: Question | null = null // the last whose curve is shown
  private asked = ''

  constructor(private readonly complain: (error: unknown) => void) {}

  private readonly curves = newest<Question, Curve>({
    ask: (q, signal) => predict(q.job, q.set, movingGrid, true, signal),
    give: (curve, q) => {
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
    const form = `${q.job.job} ${q.job.text ?? ''} ${q.set}`
    const only = form === this.asked // only the reading's frequency changed
    this.asked = form
    if (only) return this.share.want(q)
    this.curves.want(q)
    this.closer.stop()
    this.ranges.stop()
    this.range = null
    clearTimeout(this.timer)
    this.timer = setTimeout(() => this.closer.want(q), rest)
  }

  /** Asks for the shares of what the curve shows, now and then. */
  private readSoon(q: Question): void {
    this.read = q
    this.reading ??= setTimeout(() => {
      this.reading = undefined
      this.share.want(this.read ?? q)
    }, readable)
  }

  stop(): void {
    clearTimeout(this.timer)
    clearTimeout(this.reading)
    this.reading = undefined
    this.curves.stop()
    this.closer.stop()
    this.share.stop()
    this.ranges.stop()
  }

  /** Shows nothing more. */
  forget(): void {
    this.stop()
    this.asked = ''
    this.curve = this.range = this.shares = null
  }

  private failed(error: unknown): void {
    this.curve = null
    if (error instanceof NoAnswer) this.findings = error.findings
    else this.complain(error)
  }
}
