// What the compare question gives, and what a curve file was taken for.

import type { Findings } from '../types'

export interface CurveData {
  name: string
  hz: readonly number[]
  db: readonly number[]
}

export interface Choice {
  is: string
  by: string
}

export interface Understood {
  bytes: number
  sha256: string
  encoding: string
  separator: Choice
  decimal: Choice
  frequency: Choice
  gain: Choice
  phase: Choice
  columns: readonly { number: number; title?: string; holds: string; unit?: string }[] | null
  first_rows: readonly { line: number; text: string; hz: number; db: number | null; degrees?: number | null }[] | null
  rows: number
  points: number
  low_hz: number
  high_hz: number
  low_db: number
  high_db: number
  findings: Findings | null
}

/** How a person says a file is to be read; what is absent is found out. */
export interface ReadAs {
  separator?: string
  decimal?: string
  frequency?: string
  gain?: string
  phase?: string
  frequency_column?: number
  gain_column?: number
  phase_column?: number
}

export interface BandCompare {
  band: string
  stated_hz: number
  predicted_hz: number
  measured_hz: number | null
  centre_off_percent: number | null
  predicted_boost_db: number
  measured_boost_db: number | null
  boost_off_db: number | null
  predicted_cut_db: number
  measured_cut_db: number | null
  cut_off_db: number | null
  off: boolean
}

export interface CurveCompare {
  name: string
  setting: string
  file: string
  invented: boolean
  level_db: number
  rms_db: number
  max_db: number
  max_hz: number
  measured: CurveData
  predicted: CurveData
  difference: CurveData
}

export interface UnitCompare {
  unit: string
  role: string
  bands: readonly BandCompare[] | null
  curves: readonly CurveCompare[] | null
}

export interface CompareAnswer {
  limits: { centre_percent: number; db: number }
  units: readonly UnitCompare[] | null
  worst: string
}
