import { expect, test } from 'vitest'
import { drop, forget, keep, left, onReturn, type Shelf } from '../mirror'

/** A browser's storage, with so much room. */
function shelf(room = Infinity): Shelf {
  const held = new Map<string, string>()
  return {
    get length() {
      return held.size
    },
    key: (i) => [...held.keys()][i] ?? null,
    getItem: (k) => held.get(k) ?? null,
    setItem: (k, v) => {
      if (v.length > room) throw new DOMException('full', 'QuotaExceededError')
      held.set(k, v)
    },
    removeItem: (k) => void held.delete(k),
  }
}

const disk = { text: 'disk', version: 'v1' }

test('what every tab left of a job comes back, the newest first; other jobs are others', () => {
  const s = shelf()
  keep(s, 'job', 'one', { text: 'old', base: 'v1', when: 1 })
  keep(s, 'job', 'two', { text: 'new', base: 'v1', when: 2 })
  keep(s, 'job.two', 'x', { text: 'else', base: 'v1', when: 3 })
  keep(s, 'name with . and %', 'x', { text: 'odd', base: 'v1', when: 3 })
  expect(left(s, 'job').map((l) => l.mirrored.text)).toEqual(['new', 'old'])
  expect(left(s, 'name with . and %').map((l) => l.mirrored.text)).toEqual(['odd'])
  drop(s, 'job', 'two')
  forget(s, 'job', 'old')
  expect(left(s, 'job')).toEqual([])
})

test('a full shelf says so, and holds what it held', () => {
  const s = shelf(60)
  expect(keep(s, 'job', 't', { text: 'small', base: 'v', when: 1 })).toBe(true)
  expect(keep(s, 'job', 't', { text: 'x'.repeat(100), base: 'v', when: 2 })).toBe(false)
  expect(left(s, 'job')[0]?.mirrored.text).toBe('small')
})

test.each(['', '{', '[]', 'null', '{"text":1,"base":"v","when":1}', '{"text":"t"}'])('rubbish on the shelf is passed over: %s', (text) => {
  const s = shelf()
  s.setItem('bandwright.mirror.job/t', text)
  expect(left(s, 'job')).toEqual([])
})

test.each([
  ['nothing left', [], { is: 'file', texts: [] }],
  ['the disk has it', [{ text: 'disk', base: 'v0', when: 1 }], { is: 'file', texts: [] }],
  ['the disk stood still', [{ text: 'mine', base: 'v1', when: 1 }], { is: 'restored', texts: ['mine'] }],
  ['both went on', [{ text: 'mine', base: 'v0', when: 1 }], { is: 'conflict', texts: ['mine'], base: 'v0' }],
  [
    'two tabs left theirs',
    [{ text: 'mine', base: 'v1', when: 3 }, { text: 'older', base: 'v0', when: 2 }, { text: 'mine', base: 'v0', when: 1 }],
    { is: 'restored', texts: ['older', 'mine'] },
  ],
])('on return, %s', (_, found, want) => {
  expect(onReturn(found, disk)).toEqual(want)
})
