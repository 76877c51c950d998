import type { PageReading } from '../figure/reader/schema.ts'
import type { RefusalCode, RefusalDetails } from '../refusal.ts'
import type { SourceKind } from './source-kind.ts'

/** What is asked of the reading process. Pages count from 1. */
export type ReadingTask =
  | { kind: 'open'; path: string }
  | { kind: 'picture'; path: string; page: number; longestSide: number | null }
  | { kind: 'read'; path: string; page: number; picture: boolean }
  /** Makes ready for reading: the first page then takes no longer than the next. */
  | { kind: 'warm' }

export interface SourceFacts {
  kind: SourceKind
  /** Pages of the file; 1 for a single picture. */
  pages: number
  /** Name of the file without its folder. */
  name: string
}

export interface PageRead {
  reading: PageReading
  /** PNG of the upright page, `reading.width` by `reading.height` pixels; empty when it was not asked for. */
  picture: Uint8Array
}

export interface ReadingAnswers {
  open: SourceFacts
  picture: Uint8Array
  read: PageRead
  /** Whether it had to be made ready now. */
  warm: boolean
}

/** Sent by the reading process, about the task with this number. */
export type ReadingReply =
  | { id: number; says: 'step'; share: number; step: string }
  | { id: number; says: 'done'; answer: ReadingAnswers[keyof ReadingAnswers] }
  | { id: number; says: 'refused'; code: RefusalCode; details: RefusalDetails; faults: readonly string[] }
  | { id: number; says: 'failed'; why: string }
