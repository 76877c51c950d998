import { readFileSync } from 'node:fs'
import { z } from 'zod'

export interface Spot {
  x: number
  y: number
}

export interface TrueCallout extends Spot {
  item: string
  /** Where each of its leader lines ends. */
  tips: Spot[]
}

export interface TrueRow {
  item: string
  /** Empty when the list has no such column; a list with one column for both has its text in either. */
  partNumber: string
  description: string
  /** Null when none is printed, or what is printed is no number: then it stands in the note. */
  quantity: number | null
  quantityNote: string
}

/** What a page says, known because the page was drawn from it or read by hand. Pixels of the picture, origin top left. */
export interface PageTruth {
  width: number
  height: number
  callouts: TrueCallout[]
  rows: TrueRow[]
}

export const isPartsPage = (truth: PageTruth): boolean => truth.callouts.length > 0 || truth.rows.length > 0

/** "2" is a quantity of two; "AR" is a note. */
export function quantityPrinted(text: string): Pick<TrueRow, 'quantity' | 'quantityNote'> {
  const printed = text.trim()
  return /^\d+(?:[.,]\d+)?$/.test(printed)
    ? { quantity: Number(printed.replace(',', '.')), quantityNote: '' }
    : { quantity: null, quantityNote: printed }
}

const Handmade = z.object({
  image: z.object({ width: z.number(), height: z.number(), dpi: z.number().optional() }),
  callouts: z.array(
    z.object({
      number: z.string(),
      x: z.number(),
      y: z.number(),
      leader_ends: z.array(z.tuple([z.number(), z.number()])),
    }),
  ),
  parts_list: z.object({
    rows: z.array(
      z.object({
        item: z.string(),
        part_number: z.string().default(''),
        description: z.string().default(''),
        quantity: z.string().default(''),
      }),
    ),
  }),
})

/** A `truth.json` of the reference drawings: measured from the vector page or by hand, within some 4 pixels. */
export function truthRead(file: string): { truth: PageTruth; dpi: number | null } {
  const read = Handmade.parse(JSON.parse(readFileSync(file, 'utf8')))
  return {
    truth: {
      width: read.image.width,
      height: read.image.height,
      callouts: read.callouts.map(({ number, x, y, leader_ends }) => ({
        item: number,
        x,
        y,
        tips: leader_ends.map(([tipX, tipY]) => ({ x: tipX, y: tipY })),
      })),
      rows: read.parts_list.rows.map((row) => ({
        item: row.item,
        partNumber: row.part_number,
        description: row.description,
        ...quantityPrinted(row.quantity),
      })),
    },
    dpi: read.image.dpi ?? null,
  }
}
