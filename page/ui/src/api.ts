// Everything the page asks of its server. Nothing else fetches.

import { Trouble, type Answered, type Edit, type Findings, type JobRow, type Opened, type Reply } from './types'
import { words } from './words'

const at = (path: string): string => `/api/${path}`
const id = encodeURIComponent

export const listJobs = (): Promise<JobRow[]> => get('jobs')
export const questions = (): Promise<unknown> => get('questions')
export const newJob = (answers: Record<string, string>): Promise<{ id: string }> => send('POST', 'jobs', { answers })
export const openJob = (job: string): Promise<Opened> => get(`jobs/${id(job)}`)
export const duplicateJob = (job: string): Promise<{ id: string }> => send('POST', `jobs/${id(job)}/duplicate`, {})
export const archiveJob = (job: string): Promise<unknown> => send('POST', `jobs/${id(job)}/archive`, {})
export const restoreJob = (job: string): Promise<unknown> => send('POST', `jobs/${id(job)}/restore`, {})
export const editText = (text: string, edits: readonly Edit[]): Promise<Answered> => send('POST', 'edit', { text, edits })

/** What a save came to: the new version, or what another hand has put there. */
export type SaveResult = { version: string } | { conflict: true }

export async function saveJob(job: string, text: string, version: string): Promise<SaveResult> {
  const response = await fetch(at(`jobs/${id(job)}`), request('PUT', { text, version }))
  if (response.status === 409) return { conflict: true }
  return (await read(response)) as { version: string }
}

/** One question; the reply is what the command prints. */
export const ask = <T>(question: string, body: object, signal?: AbortSignal): Promise<Reply<T>> =>
  send('POST', `ask/${question}`, body, signal)

/** The text of a job with what a question found put into it; not kept yet. */
export const keepFound = (question: string, body: object): Promise<Answered> => send('POST', `keep/${question}`, body)

/** Where the sheet of what is on the disk is laid out; the version makes a new
 * text a new address. */
export const sheetAddress = (job: string, form: 'html' | 'pdf', version: string): string =>
  at(`sheet/${id(job)}/${form}?version=${version}`)

/** Where the record of what is on the disk is taken, or looked at. */
export const recordAddress = (job: string, form: 'zip' | 'pdf' | 'html', version: string): string =>
  at(`record/${id(job)}/${form}?version=${version}`)

/** Where a drawing of the metalwork of what is on the disk is. */
export const metalAddress = (job: string, what: 'tab' | 'panel' | 'face' | 'drill', form: 'svg' | 'pdf' | 'dxf', version: string): string =>
  at(`metal/${id(job)}/${what}/${form}?version=${version}`)

export type Progress = (done: number, total: number) => void

/** A question with a long answer: tells how far it is; aborting stops the work. */
export async function askLong<T>(question: string, body: object, tell: Progress, signal?: AbortSignal): Promise<Reply<T>> {
  const init = request('POST', body, signal)
  const response = await fetch(at(`ask/${question}`), {
    ...init,
    headers: { ...init.headers, Accept: 'text/event-stream' },
  })
  if (!response.headers.get('content-type')?.startsWith('text/event-stream')) return (await read(response)) as Reply<T>
  if (response.body === null) throw new Trouble(0, words.trouble.noServer)
  let answer: Reply<T> | null = null
  for await (const event of events(response.body)) {
    if (event.name === 'progress') {
      const { done, total } = JSON.parse(event.data) as { done: number; total: number }
      tell(done, total)
    }
    if (event.name === 'answer') answer = JSON.parse(event.data) as Reply<T>
    if (event.name === 'problem') throw troubled(JSON.parse(event.data) as Problem)
  }
  if (answer === null) throw new Trouble(0, words.trouble.cutOff)
  return answer
}

/** The events of a stream, as the HTML standard parts them. */
export async function* events(body: ReadableStream<Uint8Array>): AsyncGenerator<{ name: string; data: string }> {
  const reader = body.getReader()
  const letters = new TextDecoder()
  let rest = ''
  for (;;) {
    const { value, done } = await reader.read()
    if (done) return
    const blocks = (rest + letters.decode(value, { stream: true })).split('\n\n')
    rest = blocks.pop() ?? ''
    for (const block of blocks) yield parsed(block)
  }
}

function parsed(block: string): { name: string; data: string } {
  let name = 'message'
  const data: string[] = []
  for (const line of block.split('\n')) {
    if (line.startsWith('event:')) name = line.slice(6).trim()
    if (line.startsWith('data:')) data.push(line.slice(5).replace(/^ /, ''))
  }
  return { name, data: data.join('\n') }
}

/** A file beside a job, with the tag of the version that stands there. */
export interface Kept {
  text: string
  tag: string
}

export async function getFile(job: string, name: string): Promise<Kept> {
  const response = await fetch(at(`jobs/${id(job)}/files/${id(name)}`))
  if (!response.ok) await read(response)
  return { text: await response.text(), tag: response.headers.get('ETag') ?? '' }
}

/** Writes a file beside a job in place of the version of the tag; without one
 * there must be none yet, or the same. Gives the new tag. */
export async function putFile(job: string, name: string, body: BodyInit, tag = ''): Promise<string> {
  const headers: Record<string, string> = tag === '' ? {} : { 'If-Match': tag }
  const response = await fetch(at(`jobs/${id(job)}/files/${id(name)}`), { method: 'PUT', body, headers })
  await read(response)
  return response.headers.get('ETag') ?? ''
}

/** Puts a recording beside the job; the browser sends it in pieces. */
export async function putRecording(job: string, name: string, body: Blob, signal: AbortSignal): Promise<void> {
  const headers = { 'Content-Type': 'audio/wav' }
  await read(await fetch(at(`jobs/${id(job)}/recordings/${id(name)}`), { method: 'PUT', body, headers, signal }))
}

export const listRecordings = <T>(job: string): Promise<T> => get(`jobs/${id(job)}/recordings`)
export const writeCurve = <T>(body: object): Promise<T> => send('POST', 'curve/write', body)

/** Where the test recording for the takes of the job on the disk is. */
export const takesAddress = (job: string, rate: string): string => at(`takes/${id(job)}/wav?rate=${rate}`)

export const understandCurve = <T>(body: object): Promise<T> => send('POST', 'curve/understand', body)
export const listening = <T>(): Promise<T> => get('listen')
export const listen = <T>(): Promise<T> => send('POST', 'listen', {})
export const stopListening = (): Promise<unknown> => send('DELETE', 'listen', undefined)

async function get<T>(path: string): Promise<T> {
  return (await read(await fetch(at(path)))) as T
}

async function send<T>(method: string, path: string, body: unknown, signal?: AbortSignal): Promise<T> {
  return (await read(await fetch(at(path), request(method, body, signal)))) as T
}

function request(method: string, body: unknown, signal?: AbortSignal): RequestInit {
  const init: RequestInit = { method }
  if (body !== undefined) {
    init.headers = { 'Content-Type': 'application/json' }
    init.body = JSON.stringify(body)
  }
  if (signal !== undefined) init.signal = signal
  return init
}

interface Problem {
  status?: number
  title?: string
  detail?: string
  hint?: string
  findings?: Findings
}

const troubled = (p: Problem, status = p.status ?? 0): Trouble =>
  new Trouble(status, p.detail ?? p.title ?? words.trouble.status(status), p.hint, p.findings)

async function read(response: Response): Promise<unknown> {
  if (response.status === 204) return null
  const text = await response.text()
  if (response.ok) return text === '' ? null : JSON.parse(text)
  let problem: Problem = {}
  try {
    problem = JSON.parse(text) as Problem
  } catch {
    // The answer of something between page and server, not of the server.
  }
  throw troubled(problem, response.status)
}
