// One request in flight, the newest wins: a drag asks faster than anything can
// answer, and only the last question matters. Every answer that comes is shown,
// so that the curve keeps moving while the hand does.

export interface Newest<Q> {
  /** Asks, now or as soon as the one in flight is back. */
  want(question: Q): void
  /** Forgets what waits and stops what is in flight. */
  stop(): void
  /** Is anything under way or waiting? */
  busy(): boolean
}

export interface Asking<Q, A> {
  ask: (question: Q, signal: AbortSignal) => Promise<A>
  give: (answer: A, question: Q, last: boolean) => void
  fail: (error: unknown, question: Q) => void
}

export function newest<Q, A>({ ask, give, fail }: Asking<Q, A>): Newest<Q> {
  let flight: AbortController | null = null
  let waiting: { question: Q } | null = null

  function send(question: Q): void {
    const mine = new AbortController()
    flight = mine
    ask(question, mine.signal).then(
      (answer) => land(mine, () => give(answer, question, waiting === null)),
      (error: unknown) => land(mine, () => fail(error, question)),
    )
  }

  function land(mine: AbortController, tell: () => void): void {
    if (flight !== mine) return // stopped meanwhile
    flight = null
    tell()
    const next = waiting
    waiting = null
    if (next !== null && flight === null) send(next.question)
  }

  return {
    want(question) {
      if (flight === null) send(question)
      else waiting = { question }
    },
    stop() {
      waiting = null
      flight?.abort()
      flight = null
    },
    busy: () => flight !== null || waiting !== null,
  }
}
