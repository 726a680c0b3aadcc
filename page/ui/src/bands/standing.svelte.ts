// What holds for a job however its sliders stand: the band table, what was
// measured, and behind them the builds that the ranges are made of.

import { NoAnswer, bands, compare, spread, type About, type Bands, type Compare, type Spread } from './ask'
import type { Findings } from '../types'

const builds = 4000
const settle = 600 // ms a job must stand still before builds are made of it

export class Standing {
  bands = $state.raw<Bands | null>(null)
  compare = $state.raw<Compare | null>(null)
  spread = $state.raw<Spread | null>(null)
  builds = $state.raw<{ done: number; total: number } | null>(null)
  still = $state(false) // no part varies
  findings = $state.raw<Findings>([])
  private work: AbortController | null = null
  private text: string | null = null

  constructor(private readonly complain: (error: unknown) => void) {}

  /** Asks all of it for a text; what was under way for another is stopped. */
  want(text: string, job: About): void {
    if (text === this.text) return
    this.stop()
    this.text = text
    const work = (this.work = new AbortController())
    this.ask(job, work.signal).catch((error: unknown) => {
      if (!work.signal.aborted) this.complain(error)
    })
  }

  stop(): void {
    this.work?.abort()
    this.work = null
    this.text = null
    this.builds = null
  }

  private async ask(job: About, signal: AbortSignal): Promise<void> {
    const table = await bands(job, signal)
    if (signal.aborted) return
    this.bands = table.answer
    this.findings = table.findings
    this.spread = null
    if (table.answer === null) return
    const taken = await compare(job, signal)
    if (signal.aborted) return
    this.compare = taken.answer
    this.findings = [...table.findings, ...taken.findings]
    await new Promise((done) => setTimeout(done, settle))
    if (!signal.aborted) await this.ranges(job, signal)
  }

  private async ranges(job: About, signal: AbortSignal): Promise<void> {
    this.builds = { done: 0, total: builds }
    try {
      const tell = (done: number, total: number): void => {
        if (!signal.aborted) this.builds = { done, total }
      }
      const { answer } = await spread(job, builds, tell, signal)
      if (signal.aborted) return
      this.spread = answer
      this.still = answer === null
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error
      this.still = true
    } finally {
      if (!signal.aborted) this.builds = null
    }
  }
}
