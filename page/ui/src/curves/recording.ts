// What is decided of recordings: which file is what, the fields of the question,
// and how a take is written in a table. Nothing of sound is worked out here.

import { decibels, hertz } from '../show'
import { words } from '../words'
import type { RecordingRow, TakeRead } from './ask'
import { fileNameFor } from './intake'

/** As long as the server takes. */
export const mostRecordingBytes = 1 << 30

/** A recording beside the job, and what it is to this reading. */
export interface Beside {
  name: string
  bytes: number
  is: 'none' | 'recorded' | 'played' | 'loopback'
  setting: string
}

/** What a person says of how it was taken, as typed. */
export interface Taken {
  channel: string
  reference: string // 0: none
  loopback_channel: string
  generator: string
  source: string
  top: string
  bottom: string
  input: string
  input_capacitance: string
  loopback_input: string
  mains: string
  keep_drift: boolean
  less: string
}

export const standard: Readonly<Taken> = {
  channel: '1', reference: '0', loopback_channel: '1', generator: '', source: '', top: '', bottom: '', input: '',
  input_capacitance: '', loopback_input: '', mains: '', keep_drift: false, less: '',
}

/** The list with one file as something: only one is played, one a loopback. */
export function as(list: readonly Beside[], name: string, is: Beside['is']): Beside[] {
  const alone = is === 'played' || is === 'loopback'
  return list.map((f) => (f.name === name ? { ...f, is } : alone && f.is === is ? { ...f, is: 'none' } : f))
}

/** What the server lists, with what was said of those that are known. */
export function joined(rows: readonly RecordingRow[], known: readonly Beside[]): Beside[] {
  return rows.map((r) => known.find((f) => f.name === r.name && f.bytes === r.bytes) ?? { ...r, is: 'none', setting: '' })
}

/** A name for a recording that no other of another length has. */
export function recordingName(file: string, bytes: number, rows: readonly RecordingRow[]): string {
  return fileNameFor(file, rows.map((r) => ({ file: r.name, sha256: String(r.bytes) })), String(bytes))
}

const only = (list: readonly Beside[], is: Beside['is']): readonly Beside[] => list.filter((f) => f.is === is)

/** Whether there is enough to ask with. */
export const askable = (list: readonly Beside[]): boolean => only(list, 'recorded').length > 0 && only(list, 'played').length === 1

/** The question's fields. Settings go with it once one is said. */
export function fieldsOf(list: readonly Beside[], taken: Taken): Record<string, unknown> {
  const recorded = only(list, 'recorded')
  const loopback = only(list, 'loopback')[0]?.name ?? ''
  const set = recorded.map((f) => f.setting.trim())
  return {
    ...taken,
    files: recorded.map((f) => f.name),
    set: set.some((s) => s !== '') ? set.map((s) => (s === '' ? 'flat' : s)) : [],
    played: only(list, 'played')[0]?.name ?? '',
    channel: Number(taken.channel),
    loopback,
    reference: loopback === '' ? Number(taken.reference) : 0,
    loopback_channel: Number(taken.loopback_channel),
  }
}

const w = words.recordings
const silent = -200 // dB of full scale; only a file without any noise is below

const dbfs = (x: number | undefined): string => (x === undefined || x < silent ? w.blank : w.dbfs(decibels(x, 1).replace(' dB', '')))
const line = (l: { dbfs: number; hz: number } | null | undefined): string => (l == null ? w.blank : w.at(dbfs(l.dbfs), hertz(l.hz)))

/** Where a list of frequencies comes to 1 kHz; −1: nowhere. */
const at1k = (hz: readonly number[] | null | undefined): number => (hz ?? []).findIndex((f) => f >= 999)

export function gain1k(take: TakeRead): string {
  const gain = take.db?.[at1k(take.hz)]
  return gain === undefined ? w.blank : decibels(gain)
}

/** A take as the row of a table. */
export function takeRow(take: TakeRead): string[] {
  const thd = take.thd?.percent?.[at1k(take.thd.hz)]
  const ppm = take.drift_ppm
  return [
    take.name,
    ppm === undefined ? w.blank : w.ppm(decibels(ppm).replace(' dB', '')),
    dbfs(take.peak_dbfs),
    dbfs(take.silence?.hiss_dbfs),
    line(take.silence?.mains),
    line(take.silence?.twice_mains),
    gain1k(take),
    thd === undefined ? w.blank : w.thd(thd.toFixed(3)),
    take.origin.file ?? '',
  ]
}

/** Seconds as minutes and seconds. */
export function clock(seconds: number): string {
  const tenths = Math.round(10 * seconds)
  return w.minutes(Math.floor(tenths / 600), ((tenths % 600) / 10).toFixed(1).padStart(4, '0'))
}
