// The one state of the page and everything that may happen to it. Pure: no
// clock, no server, no storage; work.ts has the effects. Nothing here is ever
// changed in place.

import type { Answered, Findings, JobRow, JobView } from './types'
import { centred, type Setting } from './setting'

/** The steps in the order of the work. */
export const steps = ['ticket', 'bands', 'parts', 'boards', 'wiring', 'ohms', 'volts', 'curves', 'handover'] as const

export type StepName = (typeof steps)[number]

export type Standing = 'ahead' | 'look' | 'done'

/** A text the job went through, with what the server understood of it. */
export interface Draft {
  text: string
  view: JobView | null // null: the text does not open
  findings: Findings
  what: string // what was done, for undo's name
}

/** What is known to be on disk. */
export interface Saved {
  text: string
  version: string
}

export interface OpenJob {
  id: string
  drafts: readonly Draft[]
  at: number // which of the drafts stands
  saved: Saved
  saving: string | null // the text on its way to the disk
  trouble: string | null // why the last save failed
  conflict: Saved | null // what another hand put on the disk
  restored: boolean // the draft comes from this browser's mirror
}

export interface State {
  step: StepName
  jobs: readonly JobRow[] | null
  open: OpenJob | null
  setting: Setting // where the strip's sliders and switches stand
  standing: Readonly<Record<StepName, Standing>>
  notice: string | null
  busy: number // edits under way
}

export type Action =
  | { do: 'step'; step: StepName }
  | { do: 'jobs'; jobs: readonly JobRow[] }
  | { do: 'open'; id: string; saved: Saved; drafts: readonly Draft[]; conflict: Saved | null; restored: boolean } // the last stands
  | { do: 'close' }
  | { do: 'edit'; from: string; draft: Draft }
  | { do: 'undo' }
  | { do: 'redo' }
  | { do: 'saving'; text: string }
  | { do: 'saved'; text: string; version: string }
  | { do: 'save-failed'; why: string }
  | { do: 'conflict'; disk: Saved }
  | { do: 'disk'; saved: Saved; draft: Draft } // take what is on the disk
  | { do: 'setting'; setting: Setting }
  | { do: 'standing'; step: StepName; standing: Standing }
  | { do: 'notice'; text: string | null }
  | { do: 'busy'; by: 1 | -1 }

/** Kept for undo; texts are small, so this is a few megabytes at most. */
export const mostDrafts = 400

export const first: State = {
  step: 'ticket',
  jobs: null,
  open: null,
  setting: centred([]),
  standing: Object.fromEntries(steps.map((step) => [step, 'ahead'])) as Record<StepName, Standing>,
  notice: null,
  busy: 0,
}

/** The draft that stands. */
export function draftOf(open: OpenJob): Draft {
  const draft = open.drafts[open.at]
  if (draft === undefined) throw new Error('state: no draft stands')
  return draft
}

export const canUndo = (open: OpenJob | null): boolean => open !== null && open.at > 0
export const canRedo = (open: OpenJob | null): boolean => open !== null && open.at < open.drafts.length - 1

/** The state after an action. */
export function reduce(state: State, action: Action): State {
  switch (action.do) {
    case 'step':
      return { ...state, step: action.step }
    case 'jobs':
      return { ...state, jobs: action.jobs }
    case 'open':
      return opened(state, action)
    case 'close':
      return { ...state, open: null, step: 'ticket', notice: null }
    case 'setting':
      return { ...state, setting: action.setting }
    case 'standing':
      return { ...state, standing: { ...state.standing, [action.step]: action.standing } }
    case 'notice':
      return { ...state, notice: action.text }
    case 'busy':
      return { ...state, busy: state.busy + action.by }
    default:
      return state.open === null ? state : { ...state, ...withOpen(state, state.open, action) }
  }
}

type OnOpen = Extract<Action, { do: 'edit' | 'undo' | 'redo' | 'saving' | 'saved' | 'save-failed' | 'conflict' | 'disk' }>

function withOpen(state: State, open: OpenJob, action: OnOpen): Partial<State> {
  const next = onOpen(open, action)
  return { open: next, setting: settled(state.setting, draftOf(next).view) }
}

function onOpen(open: OpenJob, action: OnOpen): OpenJob {
  switch (action.do) {
    case 'edit':
      return edited(open, action.from, action.draft)
    case 'undo':
      return { ...open, at: Math.max(0, open.at - 1), restored: false }
    case 'redo':
      return { ...open, at: Math.min(open.drafts.length - 1, open.at + 1) }
    case 'saving':
      return { ...open, saving: action.text }
    case 'saved':
      return { ...open, saving: null, trouble: null, saved: { text: action.text, version: action.version } }
    case 'save-failed':
      return { ...open, saving: null, trouble: action.why }
    case 'conflict':
      return conflicted(open, action.disk)
    case 'disk':
      return { ...push(open, action.draft), saved: action.saved, saving: null, conflict: null, trouble: null }
  }
}

function opened(state: State, a: Extract<Action, { do: 'open' }>): State {
  const open: OpenJob = {
    id: a.id,
    drafts: a.drafts,
    at: a.drafts.length - 1,
    saved: a.saved,
    saving: null,
    trouble: null,
    conflict: a.conflict,
    restored: a.restored,
  }
  return { ...state, open, setting: centred(bandNames(draftOf(open).view)), standing: first.standing, notice: null }
}

/** An edit counts only if it was made of the text that stands: an answer that
 * comes after an undo would otherwise bring back what was taken back. */
function edited(open: OpenJob, from: string, draft: Draft): OpenJob {
  const stands = draftOf(open).text
  if (from !== stands || draft.text === stands) return open
  return push(open, draft)
}

function push(open: OpenJob, draft: Draft): OpenJob {
  const drafts = [...open.drafts.slice(0, open.at + 1), draft].slice(-mostDrafts)
  return { ...open, drafts, at: drafts.length - 1, restored: false }
}

/** Two hands that wrote the same are no conflict. */
function conflicted(open: OpenJob, disk: Saved): OpenJob {
  if (disk.text === draftOf(open).text) return { ...open, saving: null, saved: disk, conflict: null }
  return { ...open, saving: null, conflict: disk }
}

/** What is to be saved now: null while a save is under way, a conflict waits
 * for the person, or the disk has it all. */
export function nextSave(open: OpenJob | null): { id: string; text: string; version: string } | null {
  if (open === null || open.saving !== null || open.conflict !== null) return null
  const { text } = draftOf(open)
  return text === open.saved.text ? null : { id: open.id, text, version: open.saved.version }
}

/** Is everything on the disk? */
export function atRest(open: OpenJob | null): boolean {
  return open === null || (open.saving === null && open.conflict === null && draftOf(open).text === open.saved.text)
}

export const bandNames = (view: JobView | null): string[] => (view === null ? [] : view.band.map((b) => b.name))

/** Keeps the setting to the bands the job has now. */
function settled(setting: Setting, view: JobView | null): Setting {
  const names = bandNames(view)
  if (view === null || names.join() === Object.keys(setting.sliders).join()) return setting
  const sliders = Object.fromEntries(names.map((n) => [n, setting.sliders[n] ?? 0]))
  return { ...setting, sliders }
}

/** The draft a server's answer makes. */
export function draftFrom(answer: Answered, what: string): Draft {
  return { text: answer.text, view: answer.job, findings: answer.findings, what }
}
