import table from './label-sheet.json' with { type: 'json' }

/** A sheet of labels, or a roll, whose page is one label. Millimetres, from the top left corner of the paper. */
export interface LabelSheet {
  id: string
  says: string
  pageWidth: number
  pageHeight: number
  columns: number
  rows: number
  width: number
  height: number
  left: number
  top: number
  /** From the left edge of a label to that of the next one; likewise from top edge to top edge. */
  pitchX: number
  pitchY: number
}

export const LABEL_SHEETS: readonly LabelSheet[] = table.sheets

export function labelSheet(id: string): LabelSheet {
  return LABEL_SHEETS.find((sheet) => sheet.id === id) ?? LABEL_SHEETS[0]!
}

export function labelsAPage(sheet: LabelSheet): number {
  return sheet.columns * sheet.rows
}

export interface LabelPlace {
  page: number
  x: number
  y: number
}

/**
 * Where each of `count` labels goes, row after row.
 * @param from the first label of the first sheet that is still there, counted from 1
 */
export function labelPlaces(sheet: LabelSheet, count: number, from = 1): LabelPlace[] {
  const aPage = labelsAPage(sheet)
  const skipped = Math.min(Math.max(from, 1), aPage) - 1
  return Array.from({ length: count }, (_, at) => {
    const place = skipped + at
    const onPage = place % aPage
    return {
      page: Math.floor(place / aPage),
      x: sheet.left + (onPage % sheet.columns) * sheet.pitchX,
      y: sheet.top + Math.floor(onPage / sheet.columns) * sheet.pitchY,
    }
  })
}
