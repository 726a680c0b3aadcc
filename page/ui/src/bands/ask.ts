// The questions of the Bands step and the shapes of their answers.

import * as api from '../api'
import { draftOf, type OpenJob } from '../state'
import type { Findings, Reply } from '../types'

/** The job a question is about: by its name, with its text if the disk has
 * another. */
export interface About {
  job: string
  text?: string
}

export function about(open: OpenJob, text = draftOf(open).text): About {
  return text === open.saved.text ? { job: open.id } : { job: open.id, text }
}

export interface Curve {
  setting: string
  hz: readonly number[]
  db: readonly (number | null)[]
  low: readonly number[] | null // likely range; null: not asked or none
  high: readonly number[] | null
  findings: Findings
}

interface Shown {
  likely: { low: number; high: number }
}

interface Predicted {
  setting: string
  rows: { hz: number; db: number | null; shown?: Shown | null }[]
}

/** Frequencies that curves are drawn at while a slider moves, and at rest. */
export const movingGrid: readonly number[] = steps(12)
export const grid: readonly number[] = steps(24)
/** Frequencies that ranges are drawn at. */
export const rangeGrid: readonly number[] = steps(8)

/** 20 Hz to 20 kHz, so many an octave: where to ask, not what is answered. */
function steps(perOctave: number): number[] {
  const count = Math.ceil(Math.log2(1000) * perOctave)
  return Array.from({ length: count + 1 }, (_, i) => Math.round(20 * 1000 ** (i / count) * 1e4) / 1e4)
}

/** The curve at a setting. Ranges and whether the circuit is stable are most of
 * the work, so a curve that moves under a hand goes without. */
export async function predict(job: About, set: string, hz: readonly number[], moving: boolean, signal?: AbortSignal): Promise<Curve> {
  const reply = await api.ask<Predicted>('predict', { ...job, set, at: hz, moving }, signal)
  const { setting, rows } = must(reply)
  const shown = rows.every((r) => r.shown != null)
  return {
    setting,
    hz: rows.map((r) => r.hz),
    db: rows.map((r) => r.db),
    low: shown ? rows.map((r) => r.shown?.likely.low ?? 0) : null,
    high: shown ? rows.map((r) => r.shown?.likely.high ?? 0) : null,
    findings: reply.findings,
  }
}

export interface Shares {
  setting: string
  hz: number
  total_db: number | null
  flat_db: number | null
  sliders: { band: string; position: number; db: number | null }[]
}

export async function shares(job: About, set: string, hz: number, signal?: AbortSignal): Promise<Shares> {
  return must(await api.ask<Shares>('shares', { ...job, set, hz, moving: true }, signal))
}

export interface Feature {
  band: string
  stated_hz: number
  leg_resonance_hz: number
  leg_q: number
  found: boolean
  cut_found: boolean
  centre_hz: number
  boost_db: number
  cut_db: number
  width_hz: number | null
  q: number | null
  total_gain_db: number
}

export interface GainRange {
  low_db: number
  low_hz: number
  high_db: number
  high_hz: number
}

export interface ScalePoint {
  position: number
  db: number
}

export interface BandScale {
  band: string
  at_hz: number
  travel: ScalePoint[]
  marks: ScalePoint[]
}

export interface Headroom {
  band: string
  at_hz: number
  flat_volts_rms: number | null
  boost_volts_rms: number | null
  flat_headroom_db: number | null
  boost_headroom_db: number | null
  limited_by?: string
}

export interface Bands {
  setting: string
  bands: Feature[]
  flat: GainRange
  all_up: GainRange
  all_down: GainRange
  scale: BandScale[]
  headroom: Headroom[]
  stable: boolean
}

export const bands = (job: About, signal?: AbortSignal): Promise<Reply<Bands>> => api.ask('bands', { ...job }, signal)

export interface FigureSpread {
  nominal: number
  count: number
  percentiles: { percent: number; value: number }[]
}

export interface Spread {
  builds: number
  wanted: number
  bands: { band: string; centre_hz: FigureSpread; boost_db: FigureSpread; cut_db: FigureSpread; q: FigureSpread }[]
  yield: { good: number; of: number; share: number } | null
}

export const spread = (job: About, count: number, tell: api.Progress, signal: AbortSignal): Promise<Reply<Spread>> =>
  api.askLong('spread', { ...job, count, seed: 1 }, tell, signal)

/** The central 95 % of a figure; null: no build has it. */
export function central(f: FigureSpread): [number, number] | null {
  const at = (percent: number): number | undefined => f.percentiles.find((p) => p.percent === percent)?.value
  const low = at(2.5)
  const high = at(97.5)
  return f.count === 0 || low === undefined || high === undefined ? null : [low, high]
}

export interface MeasuredBand {
  band: string
  measured_hz: number | null
  centre_off_percent: number | null
  measured_boost_db: number | null
  boost_off_db: number | null
  measured_cut_db: number | null
  measured_q: number | null
  off: boolean
}

export interface TakenCurve {
  name: string
  setting: string
  invented: boolean
  measured: { setting: { sliders?: Record<string, number>; switches?: Record<string, string> }; hz: number[]; db: number[] }
}

export interface Compare {
  units: { unit: string; role: string; bands: MeasuredBand[]; curves: TakenCurve[] }[]
}

/** What was measured; a job without curves has no units. */
export async function compare(job: About, signal?: AbortSignal): Promise<Reply<Compare>> {
  type Sparse = { units: { unit: string; role: string; bands: MeasuredBand[] | null; curves: TakenCurve[] | null }[] | null }
  const { answer, findings } = await api.ask<Sparse>('compare', { ...job }, signal)
  const units = answer?.units?.map((u) => ({ ...u, bands: u.bands ?? [], curves: u.curves ?? [] })) ?? []
  return { answer: answer && { units }, findings }
}

export interface Wanted {
  band: string
  centre_hz?: number
  boost_db?: number
  cut_db?: number
  q?: number
}

export interface Leg {
  ohms: number
  henries: number
  dcr_ohms: number
  farads: number
  feature: Feature
}

export interface Design {
  bands: { wanted: Wanted; free: Leg; chosen: Leg; now: Feature }[]
}

export interface DesignQuestion {
  band: string[] // "400: centre 400Hz boost 10dB q 1"
  keep: string[]
  series: string
}

export const design = (job: About, q: DesignQuestion, tell: api.Progress, signal: AbortSignal): Promise<Reply<Design>> =>
  api.askLong('design', { ...job, ...q }, tell, signal)

export interface Preferred {
  value: number
  near: { series: string; value: number; text: string }[]
}

/** Preferred values round a value as it is written. */
export const preferred = (kind: string, text: string, signal?: AbortSignal): Promise<Reply<Preferred>> =>
  api.ask('preferred', { kind, value: text }, signal)

function must<T>(reply: Reply<T>): T {
  if (reply.answer === null) throw new NoAnswer(reply.findings)
  return reply.answer
}

/** Findings stand in the way of an answer. */
export class NoAnswer extends Error {
  constructor(readonly findings: Findings) {
    super(findings.map((f) => f.say).join(' '))
  }
}
