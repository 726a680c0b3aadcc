// A long question put on demand: how far it is, what came of it, and how it is
// stopped. Putting it again stops the one before.

import type { Progress } from './api'
import type { Findings, Reply } from './types'
import { complain } from './work'

export class Asked<T> {
  answer = $state.raw<T | null>(null)
  findings = $state.raw<Findings>([])
  far = $state.raw<{ done: number; total: number } | null>(null)
  stopped = $state(false)
  /** What the answer is of, as it was given with the question. */
  of = $state.raw('')

  #work: AbortController | null = null

  async ask(put: (tell: Progress, signal: AbortSignal) => Promise<Reply<T>>, of = ''): Promise<void> {
    this.stop()
    const mine = new AbortController()
    this.#work = mine
    this.far = { done: 0, total: 0 }
    this.stopped = false
    try {
      const reply = await put((done, total) => !mine.signal.aborted && (this.far = { done, total }), mine.signal)
      if (mine.signal.aborted) return
      this.answer = reply.answer
      this.findings = reply.findings
      this.of = of
    } catch (error) {
      if (!mine.signal.aborted) complain(error)
    }
    if (this.#work !== mine) return
    this.#work = null
    this.far = null
  }

  stop(): void {
    if (this.#work === null) return
    this.#work.abort()
    this.#work = null
    this.far = null
    this.stopped = true
  }

  /** What was answered is of no use any more. */
  drop(): void {
    this.stop()
    this.answer = null
    this.findings = []
    this.stopped = false
  }
}
