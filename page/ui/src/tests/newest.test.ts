import { expect, test } from 'vitest'
import { newest } from '../newest'

/** An asker whose answers come when the test says so. */
function bench() {
  const open: { question: number; answer: (a: string) => void; refuse: (e: unknown) => void; signal: AbortSignal }[] = []
  const given: [string, boolean][] = []
  const failed: unknown[] = []
  const line = newest<number, string>({
    ask: (question, signal) => new Promise((answer, refuse) => open.push({ question, answer, refuse, signal })),
    give: (answer, _, last) => given.push([answer, last]),
    fail: (error) => failed.push(error),
  })
  const turn = () => new Promise((r) => setTimeout(r))
  return { open, given, failed, line, turn }
}

test('one in flight, the newest next, those between never asked', async () => {
  const b = bench()
  for (let q = 0; q < 50; q++) b.line.want(q)
  expect(b.open.map((o) => o.question)).toEqual([0])
  b.open[0]!.answer('first')
  await b.turn()
  expect(b.open.map((o) => o.question)).toEqual([0, 49])
  b.open[1]!.answer('last')
  await b.turn()
  expect(b.given).toEqual([['first', false], ['last', true]])
  expect(b.line.busy()).toBe(false)
})

test('a failure does not hold up the next', async () => {
  const b = bench()
  b.line.want(1)
  b.line.want(2)
  b.open[0]!.refuse('down')
  await b.turn()
  b.open[1]!.answer('up')
  await b.turn()
  expect(b.failed).toEqual(['down'])
  expect(b.given).toEqual([['up', true]])
})

test('what was stopped is never shown, even if its answer still comes', async () => {
  const b = bench()
  b.line.want(1)
  b.line.want(2)
  b.line.stop()
  expect(b.open[0]!.signal.aborted).toBe(true)
  b.open[0]!.answer('late')
  await b.turn()
  expect(b.given).toEqual([])
  expect(b.open.length).toBe(1)
  b.line.want(3)
  b.open[1]!.answer('new')
  await b.turn()
  expect(b.given).toEqual([['new', true]])
})
