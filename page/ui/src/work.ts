// The effects: what the page does to server and storage as the state changes.

import * as api from './api'
import { app, dispatch, watch } from './store.svelte'
import { atRest, draftFrom, draftOf, nextSave, type Draft, type OpenJob } from './state'
import { drop, forget, keep, left, onReturn, type Mirrored } from './mirror'
import { Trouble, type Answered, type Edit, type JobView, type Opened } from './types'
import { words } from './words'

const tab = Math.random().toString(36).slice(2)
const pause = 120 // ms an edit waits for the next before it is saved
const retry = 3000

/** Starts the page. */
export function start(): void {
  watch((now, before) => {
    if (before.open !== null && before.open.id !== now.open?.id) void leave(before.open)
    if (now.open !== before.open) mirrored(before.open, now.open)
  })
  addEventListener('beforeunload', (event) => {
    if (!atRest(app.state.open)) event.preventDefault()
  })
  addEventListener('focus', () => void lookAgain())
  addEventListener('hashchange', () => void followAddress())
  void listJobs().then(followAddress)
}

/** Says what went wrong, in the notice. */
export function complain(error: unknown): void {
  if (error instanceof DOMException && error.name === 'AbortError') return
  dispatch({ do: 'notice', text: said(error) })
}

function said(error: unknown): string {
  if (error instanceof Trouble) return error.hint === '' ? error.message : `${error.message} ${error.hint}`
  return words.trouble.noServer
}

/** Reads the list of jobs again. */
export async function listJobs(): Promise<void> {
  try {
    dispatch({ do: 'jobs', jobs: await api.listJobs() })
  } catch (error) {
    complain(error)
  }
}

/** Opens a job, with what earlier tabs left of it. */
export async function openJob(id: string): Promise<void> {
  try {
    const opened = await api.openJob(id)
    const found = left(localStorage, id)
    await show(opened, found.map((f) => f.mirrored))
    // What is on the disk now, or stands here and is mirrored anew.
    for (const { key } of found) if (!key.endsWith(tab)) localStorage.removeItem(key)
  } catch (error) {
    complain(error)
  }
}

/** Lays what was left over what is on the disk; older texts that never got
 * there are to be had by undo. */
async function show(opened: Opened, found: readonly Mirrored[]): Promise<void> {
  const { id, text, version } = opened
  const back = onReturn(found, { text, version })
  const drafts = [draftFrom(opened, words.opened)]
  for (const mine of back.texts) drafts.push(draftFrom(await api.editText(mine, []), words.restoredWhat))
  dispatch({
    do: 'open',
    id,
    drafts,
    saved: back.is === 'conflict' ? { text: '', version: back.base } : { text, version },
    conflict: back.is === 'conflict' ? { text, version } : null,
    restored: back.is === 'restored',
  })
  location.hash = addressOf(id)
}

const addressOf = (id: string): string => `#${encodeURIComponent(id)}`

async function followAddress(): Promise<void> {
  const id = decodeURIComponent(location.hash.slice(1))
  if (id !== '' && id !== app.state.open?.id) await openJob(id)
}

/** Another job is opened, or none: what waits to be saved goes to the disk, and
 * stays in the mirror if it cannot. */
async function leave(open: OpenJob): Promise<void> {
  const next = nextSave(open)
  if (next === null) return
  try {
    const result = await api.saveJob(next.id, next.text, next.version)
    if ('version' in result && app.state.open?.id !== open.id) drop(localStorage, open.id, tab)
  } catch {
    // The mirror has it, and offers it when the job is opened again.
  }
}

/** Leaves the job. */
export function closeJob(): void {
  dispatch({ do: 'close' })
  history.replaceState(null, '', location.pathname)
  void listJobs()
}

/** What the edits would make of the job, without keeping it. */
export async function preview(edits: readonly Edit[], what: string): Promise<{ from: string; draft: Draft } | null> {
  const { open } = app.state
  if (open === null) return null
  const from = draftOf(open).text
  return { from, draft: draftFrom(await api.editText(from, edits), what) }
}

// Edits follow one another: each is made of the text the one before it gave.
let line: Promise<unknown> = Promise.resolve()

/** Edits, or how they are made of the job as it stands when their turn comes:
 * what goes to the end of a list must know how long the list then is. */
export type Edits = readonly Edit[] | ((view: JobView | null) => readonly Edit[])

/** Changes the job and keeps the change; false: it could not be done. */
export function change(edits: Edits, what: string): Promise<boolean> {
  const done = line.then(() => changeNow(edits, what))
  line = done
  return done
}

async function changeNow(wanted: Edits, what: string): Promise<boolean> {
  const { open } = app.state
  const edits = typeof wanted === 'function' ? wanted(open === null ? null : draftOf(open).view) : wanted
  if (edits.length === 0) return open !== null
  dispatch({ do: 'busy', by: 1 })
  try {
    const made = await preview(edits, what)
    if (made !== null) dispatch({ do: 'edit', ...made })
    return made !== null
  } catch (error) {
    complain(error)
    return false
  } finally {
    dispatch({ do: 'busy', by: -1 })
  }
}

/** Changes the job to what the server makes of the text that stands. */
export function take(ask: (open: OpenJob) => Promise<Answered>, what: string): Promise<boolean> {
  const done = line.then(() => takeNow(ask, what))
  line = done
  return done
}

async function takeNow(ask: (open: OpenJob) => Promise<Answered>, what: string): Promise<boolean> {
  const { open } = app.state
  if (open === null) return false
  dispatch({ do: 'busy', by: 1 })
  try {
    const from = draftOf(open).text
    dispatch({ do: 'edit', from, draft: draftFrom(await ask(open), what) })
    return true
  } catch (error) {
    complain(error)
    return false
  } finally {
    dispatch({ do: 'busy', by: -1 })
  }
}

export const undo = (): void => dispatch({ do: 'undo' })
export const redo = (): void => dispatch({ do: 'redo' })

let timer: ReturnType<typeof setTimeout> | undefined

/** Mirrors what the disk has not, and sees to it that it gets there. */
function mirrored(before: OpenJob | null, now: OpenJob | null): void {
  if (now === null || atRest(now)) {
    if (now !== null) drop(localStorage, now.id, tab)
    return
  }
  if (before === null || before.id !== now.id || draftOf(before).text !== draftOf(now).text) {
    keep(localStorage, now.id, tab, { text: draftOf(now).text, base: now.saved.version, when: Date.now() })
  }
  saveSoon(now.trouble === null ? pause : retry)
}

function saveSoon(wait: number): void {
  clearTimeout(timer)
  timer = setTimeout(() => void save(), wait)
}

/** Saves now what is to be saved. */
export async function save(): Promise<void> {
  const next = nextSave(app.state.open)
  if (next === null) return
  dispatch({ do: 'saving', text: next.text })
  try {
    const result = await api.saveJob(next.id, next.text, next.version)
    if (app.state.open?.id !== next.id) return
    if ('version' in result) dispatch({ do: 'saved', text: next.text, version: result.version })
    else await meetConflict(next.id)
  } catch (error) {
    if (app.state.open?.id === next.id) dispatch({ do: 'save-failed', why: said(error) })
  }
}

async function meetConflict(id: string): Promise<void> {
  const { text, version } = await api.openJob(id)
  if (app.state.open?.id === id) dispatch({ do: 'conflict', disk: { text, version } })
}

/** Takes what is on the disk; what stood here is one undo away. */
export async function takeDisk(): Promise<void> {
  const { open } = app.state
  if (open === null) return
  try {
    const opened = await api.openJob(open.id)
    const { text, version } = opened
    dispatch({ do: 'disk', saved: { text, version }, draft: draftFrom(opened, words.fromDiskWhat) })
  } catch (error) {
    complain(error)
  }
}

/** Keeps what stands here as a job of its own, and opens that. */
export async function keepCopy(): Promise<void> {
  const { open } = app.state
  if (open === null) return
  try {
    const { text } = draftOf(open)
    const copy = await api.openJob((await api.duplicateJob(open.id)).id)
    await api.saveJob(copy.id, text, copy.version)
    forget(localStorage, open.id, text)
    await openJob(copy.id)
    await listJobs()
  } catch (error) {
    complain(error)
  }
}

/** Keeps what the server makes of the text in a copy under another title; this
 * job stays as it is. Gives the copy's id; null: it could not be done. */
export async function copyWith(ask: (open: OpenJob) => Promise<Answered>, title: string): Promise<string | null> {
  const { open } = app.state
  if (open === null) return null
  try {
    const { text } = await api.editText((await ask(open)).text, [{ path: ['title'], value: title }])
    const copy = await api.openJob((await api.duplicateJob(open.id)).id)
    await api.saveJob(copy.id, text, copy.version)
    await listJobs()
    return copy.id
  } catch (error) {
    complain(error)
    return null
  }
}

/** Back at the page: was the file changed meanwhile? */
async function lookAgain(): Promise<void> {
  const { open } = app.state
  if (open === null || !atRest(open)) return
  try {
    const now = await api.openJob(open.id)
    const still = app.state.open
    if (still?.id !== open.id || !atRest(still) || now.version === still.saved.version) return
    const { text, version } = now
    dispatch({ do: 'disk', saved: { text, version }, draft: draftFrom(now, words.fromDiskWhat) })
    dispatch({ do: 'notice', text: words.fromDisk })
  } catch {
    // The next save will say it.
  }
}
