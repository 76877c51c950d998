import { breakReportSays } from '@/lib/catalogue/break-report.ts'
import { figureBreakReport } from '@/lib/db/figure.ts'

/** What a printed parts list says beside a line, beyond its number and quantity. */
export function lineMarks(line: {
  side?: 'LH' | 'RH'
  orderItem?: string
  serialBreak: string
  applies: 'applies' | 'unknown'
  note: string | null
}): string[] {
  return [
    line.side ? `${line.side} only` : '',
    line.orderItem ? `not sold separately: order item ${line.orderItem}` : '',
    line.serialBreak,
    line.applies === 'unknown' && line.serialBreak !== '' ? 'check the serial number' : '',
    line.note ?? '',
  ].filter((mark) => mark !== '')
}

/** Where the serial breaks of this figure's items do not fit together; for those who bring parts lists in. */
export async function BreakFaults({ figureId }: { figureId: number }) {
  const faults = breakReportSays(await figureBreakReport(figureId))
  if (faults.length === 0) return null
  return (
    <details className="sheet">
      <summary className="button quiet">Serial breaks to look at: {faults.length}</summary>
      <p className="small">Machines in these ranges get no part of an item, or two. A book may mean it so.</p>
      <ul>
        {faults.map((fault) => (
          <li key={fault}>{fault}</li>
        ))}
      </ul>
    </details>
  )
}
