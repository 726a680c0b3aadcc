// The shapes the server gives and takes. Where the generated contract.d.ts has a
// shape, it is named after it here, so that the rest of the page needs one door.

export interface Finding {
  id: string
  level: 'note' | 'warning' | 'error'
  place?: { file?: string; line?: number; column?: number; band?: string; part?: string; point?: string; setting?: string }
  args?: Record<string, unknown>
  say: string
  hint?: string
}
export type Findings = readonly Finding[]

/** What every question gives: an answer, null where an error stands in the way. */
export interface Reply<T> {
  answer: T | null
  findings: Findings
}

export interface JobRow {
  id: string
  title: string
  amp: string
  invented: boolean
  archived: boolean
  changed: string
  bands: number
  problem?: string
}

/** The job as the page shows it; texts are as the bench writes them. */
export interface JobView {
  title: string
  invented: boolean
  band: readonly BandView[]
  [more: string]: unknown
}

export interface BandView {
  name: string
  centre: string
  slider: Record<string, unknown>
  coil: Record<string, unknown>
  capacitor: Record<string, unknown>
  resistor: Record<string, unknown>
}

export interface Opened {
  id: string
  text: string
  version: string
  job: JobView | null
  findings: Findings
}

export interface Answered {
  text: string
  job: JobView | null
  findings: Findings
}

/** One change of the job: the path of keys, and the value as it is written. */
export interface Edit {
  path: readonly string[]
  value: string
  remove?: boolean // takes an entry of a list out
}

/** What went wrong on the way to an answer. */
export class Trouble extends Error {
  constructor(
    readonly status: number,
    message: string,
    readonly hint = '',
    readonly findings: Findings = [],
  ) {
    super(message)
    this.name = 'Trouble'
  }
}
