import { z } from 'zod'

const Pixels = z.number()
const Share = z.number().min(0).max(1)
/** Left, top, right, bottom in pixels of the page. */
export const PageBox = z.tuple([Pixels, Pixels, Pixels, Pixels])
export type PageBox = z.infer<typeof PageBox>

/** Why a person should look at this one first. */
export const DOUBTS = [
  /** The recogniser was not sure of the digits. */
  'hard-to-read',
  /** The drawing has the item, the table has no such row. */
  'no-row',
  /** The table has the row, the drawing shows no such item. */
  'no-callout',
  /** The item stands on the drawing more than once. */
  'more-than-once',
  /** No leader line was found, or it could not be followed to its end. */
  'no-leader',
  /** A cell of the row is empty or could be read in two ways. */
  'cell-unclear',
] as const
export const Doubt = z.enum(DOUBTS)
export type Doubt = z.infer<typeof Doubt>

export const ReadCallout = z.strictObject({
  item: z.string().min(1).max(8),
  /** Centre of the printed number, pixels of the page, origin top left. */
  x: Pixels,
  y: Pixels,
  /** Where its (first) leader line ends on the part; the number's own centre when none was found. */
  tipX: Pixels,
  tipY: Pixels,
  /** Every leader end, the first one included; empty when none was found. */
  tips: z.array(z.strictObject({ x: Pixels, y: Pixels })).max(40),
  confidence: Share,
  doubts: z.array(Doubt),
})
export type ReadCallout = z.infer<typeof ReadCallout>

export const ReadRow = z.strictObject({
  item: z.string().max(8),
  /** Empty when the list has no column of part numbers. */
  partNumber: z.string().max(60),
  description: z.string().max(300),
  /** Null when the list prints none or it could not be read; "AR", "REF" stand in `quantityNote`. */
  quantity: z.number().nonnegative().nullable(),
  quantityNote: z.string().max(20),
  confidence: Share,
  doubts: z.array(Doubt),
  box: PageBox.nullable(),
})
export type ReadRow = z.infer<typeof ReadRow>

/** One exploded drawing on the page and the callouts (indices) that belong to it. */
export const ReadFigure = z.strictObject({ box: PageBox, callouts: z.array(z.number().int().nonnegative()) })
export type ReadFigure = z.infer<typeof ReadFigure>

/** What the page calls its drawing; either may be empty. */
export const ReadHeading = z.strictObject({ number: z.string().max(20), title: z.string().max(120) })
export type ReadHeading = z.infer<typeof ReadHeading>

/** What was read from one page of a parts book. Nothing in it is true until a person has confirmed it. */
export const PageReading = z.strictObject({
  /** Pixels of the page as it stands upright; every coordinate below is in these. */
  width: z.number().positive(),
  height: z.number().positive(),
  /** `no-parts-page`: neither callouts nor a parts list were found; `why` says what was missing. */
  kind: z.enum(['parts-page', 'no-parts-page']),
  why: z.string(),
  /** Clockwise skew of the page, degrees, that was taken out before reading. */
  skewDegrees: z.number(),
  callouts: z.array(ReadCallout).max(2000),
  rows: z.array(ReadRow).max(5000),
  figures: z.array(ReadFigure).max(40),
  /** Readings made before it was looked for have none. */
  heading: ReadHeading.nullish(),
})
export type PageReading = z.infer<typeof PageReading>

/** Grey picture of a page: 0 is ink, 255 is paper; `data[y * width + x]`. */
export interface GreyPage {
  width: number
  height: number
  data: Uint8Array
}

/** Text that a vector page carries itself, so that it need not be recognised. Baseline box in pixels of the page. */
export interface TextRun {
  text: string
  box: PageBox
}

/** A piece of the page cut out for recognition, and what it may hold. */
export interface TextCrop {
  box: PageBox
  /** `item`: digits with at most one letter; `line`: a line of a table cell. */
  kind: 'item' | 'line'
}

/** What the recogniser read in a crop: empty text when it read nothing. */
export interface CropText {
  text: string
  confidence: number
}

/** Reads crops of a page; the models behind it live outside this folder (lib/reading). */
export type Recogniser = (page: GreyPage, crops: readonly TextCrop[]) => Promise<CropText[]>
