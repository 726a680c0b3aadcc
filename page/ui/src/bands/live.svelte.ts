// What moves with the strip: the curve at once, then each slider's share, and
// once the hand rests the range under the curve and what there is to say of it.

import { newest } from '../newest'
import type { Findings } from '../types'
import { grid, NoAnswer, predict, rangeGrid, shares, type About, type Curve, type Shares } from './ask'

interface Question {
  job: About
  set: string
  hz: number
}

const rest = 180 // ms without a change until the range is asked for

export class Live {
  curve = $state.raw<Curve | null>(null)
  range = $state.raw<Curve | null>(null)
  shares = $state.raw<Shares | null>(null)
  findings = $state.raw<Findings>([])
  private timer: ReturnType<typeof setTimeout> | undefined
  private asked = ''

  constructor(private readonly complain: (error: unknown) => void) {}

  private readonly curves = newest<Question, Curve>({
    ask: (q, signal) => predict(q.job, q.set, grid, true, signal),
    give: (curve, q, last) => {
      this.curve = curve
      if (last) this.share.want(q)
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
    this.ranges.stop()
    this.range = null
    clearTimeout(this.timer)
    this.timer = setTimeout(() => this.ranges.want(q), rest)
  }

  stop(): void {
    clearTimeout(this.timer)
    this.curves.stop()
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
