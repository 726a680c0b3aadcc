import { expect, test } from 'vitest'
import { atRest, canRedo, canUndo, draftOf, first, mostDrafts, nextSave, reduce, type Action, type Draft, type State } from '../state'
import type { JobView } from '../types'

const view = (...names: string[]): JobView =>
  ({ title: 't', invented: true, band: names.map((name) => ({ name, centre: '', slider: {}, coil: {}, capacitor: {}, resistor: {} })) }) as JobView

const draft = (text: string, ...names: string[]): Draft => ({ text, view: view(...names), findings: [], what: `made ${text}` })

const opened = (text = 'a', ...names: string[]): State =>
  reduce(first, { do: 'open', id: 'job', saved: { text, version: `v-${text}` }, drafts: [draft(text, ...names)], conflict: null, restored: false })

const run = (state: State, ...actions: Action[]): State => actions.reduce(reduce, state)
const edit = (from: string, to: string, ...names: string[]): Action => ({ do: 'edit', from, draft: draft(to, ...names) })
const stands = (s: State): string => draftOf(s.open!).text

test('undo and redo walk the texts; a new edit cuts off what was undone', () => {
  let s = run(opened(), edit('a', 'b'), edit('b', 'c'))
  expect([stands(s), canUndo(s.open), canRedo(s.open)]).toEqual(['c', true, false])
  s = run(s, { do: 'undo' }, { do: 'undo' }, { do: 'undo' })
  expect([stands(s), canUndo(s.open), canRedo(s.open)]).toEqual(['a', false, true])
  s = run(s, { do: 'redo' }, edit('b', 'd'))
  expect([stands(s), canRedo(s.open), s.open!.drafts.map((d) => d.text)]).toEqual(['d', false, ['a', 'b', 'd']])
})

test('an answer to an edit of a text that no longer stands changes nothing', () => {
  const s = run(opened(), edit('a', 'b'), { do: 'undo' })
  expect(run(s, edit('b', 'c')).open).toBe(s.open)
})

test('an edit that changes nothing is none', () => {
  const s = opened()
  expect(run(s, edit('a', 'a')).open).toBe(s.open)
})

test('undo reaches back so many texts and no further', () => {
  let s = opened('0')
  for (let i = 0; i < mostDrafts + 50; i++) s = run(s, edit(`${i}`, `${i + 1}`))
  expect(s.open!.drafts.length).toBe(mostDrafts)
  for (let i = 0; i < 2 * mostDrafts; i++) s = run(s, { do: 'undo' })
  expect(stands(s)).toBe('51')
})

test('one save in flight; what comes meanwhile is saved after it, over its version', () => {
  let s = run(opened(), edit('a', 'b'))
  expect(nextSave(s.open)).toEqual({ id: 'job', text: 'b', version: 'v-a' })
  s = run(s, { do: 'saving', text: 'b' }, edit('b', 'c'))
  expect([nextSave(s.open), atRest(s.open)]).toEqual([null, false])
  s = run(s, { do: 'saved', text: 'b', version: 'v-b' })
  expect(nextSave(s.open)).toEqual({ id: 'job', text: 'c', version: 'v-b' })
  s = run(s, { do: 'saving', text: 'c' }, { do: 'saved', text: 'c', version: 'v-c' })
  expect([nextSave(s.open), atRest(s.open)]).toEqual([null, true])
})

test('a save that failed is tried again, over the same version', () => {
  const s = run(opened(), edit('a', 'b'), { do: 'saving', text: 'b' }, { do: 'save-failed', why: 'disk full' })
  expect([nextSave(s.open)?.version, s.open!.trouble]).toEqual(['v-a', 'disk full'])
})

test('nothing is saved while two hands differ; taking the disk leaves mine one undo away', () => {
  let s = run(opened(), edit('a', 'mine'), { do: 'saving', text: 'mine' }, { do: 'conflict', disk: { text: 'theirs', version: 'v-t' } })
  expect([nextSave(s.open), atRest(s.open)]).toEqual([null, false])
  s = run(s, edit('mine', 'more'))
  expect(nextSave(s.open)).toBeNull()
  s = run(s, { do: 'disk', saved: { text: 'theirs', version: 'v-t' }, draft: draft('theirs') })
  expect([stands(s), atRest(s.open)]).toEqual(['theirs', true])
  s = run(s, { do: 'undo' })
  expect([stands(s), nextSave(s.open)?.version]).toEqual(['more', 'v-t'])
})

test('two hands that wrote the same are no conflict', () => {
  const s = run(opened(), edit('a', 'b'), { do: 'saving', text: 'b' }, { do: 'conflict', disk: { text: 'b', version: 'v-b' } })
  expect([s.open!.conflict, atRest(s.open)]).toEqual([null, true])
})

test('the strip keeps its sliders through an edit, and follows bands that come and go', () => {
  let s = opened('a', '63', '400')
  s = run(s, { do: 'setting', setting: { sliders: { '63': 0.5, '400': -1 }, signal: 'lifted' } }, edit('a', 'b', '63', '400'))
  expect(s.setting).toEqual({ sliders: { '63': 0.5, '400': -1 }, signal: 'lifted' })
  s = run(s, edit('b', 'c', '400', '1000'))
  expect(s.setting.sliders).toEqual({ '400': -1, '1000': 0 })
})

test('a text that does not open leaves the strip as it stood', () => {
  const s = run(opened('a', '63'), { do: 'setting', setting: { sliders: { '63': 1 }, signal: 'in' } })
  const broken: Draft = { text: 'x', view: null, findings: [], what: '' }
  expect(run(s, { do: 'edit', from: 'a', draft: broken }).setting.sliders).toEqual({ '63': 1 })
})

test('a frozen state is never written to', () => {
  const freeze = <T>(x: T): T => {
    if (typeof x === 'object' && x !== null && !Object.isFrozen(x)) Object.values(Object.freeze(x)).forEach(freeze)
    return x
  }
  let s = freeze(opened('a', '63'))
  const all: Action[] = [
    edit('a', 'b', '63'), { do: 'undo' }, { do: 'redo' }, { do: 'saving', text: 'b' }, { do: 'saved', text: 'b', version: 'v' },
    { do: 'setting', setting: { sliders: { '63': 1 }, signal: 'in' } }, { do: 'step', step: 'bands' }, { do: 'notice', text: 'n' },
    { do: 'standing', step: 'bands', standing: 'done' }, { do: 'busy', by: 1 }, { do: 'jobs', jobs: [] }, { do: 'close' },
  ]
  for (const a of all) s = freeze(reduce(s, a))
  expect(s.open).toBeNull()
})
