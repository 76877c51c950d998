import type { NeedView } from '@/lib/db/job-read.ts'
import { type NeedRow, positionsSay } from '@/lib/job/need-rows.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { stockWords } from '@/lib/stock/stock-words.ts'
import styles from '../../_parts/sheet.module.css'
import { Box } from '../../_parts/sheet.tsx'

const STATES: Record<NeedView['state'], string> = {
  open: 'not decided',
  accepted: '',
  declined: 'left out',
  'in-kit': 'in the kit',
}

function standsSay(row: NeedRow<NeedView>): string {
  const [need] = row.needs
  const taken = row.needs.reduce((sum, one) => sum + one.taken, 0)
  return [
    need!.origin === 'suggestion' ? row.strength : '',
    STATES[row.state],
    taken > 0 ? `${quantityFormat(taken, need!.unit)} taken` : '',
  ]
    .filter((words) => words !== '')
    .join(', ')
}

/** Parts and consumables of a job with what the shelf has of them and where. */
export function NeedTable(props: { rows: readonly NeedRow<NeedView>[]; jobId: number; today: string }) {
  return (
    <table className={styles.list}>
      <thead>
        <tr>
          <th scope="col">
            <span className="visually-hidden">Done</span>
          </th>
          <th scope="col">Item</th>
          <th scope="col">Part number</th>
          <th scope="col">Description</th>
          <th scope="col" className={styles.right}>
            Qty
          </th>
          <th scope="col">Shelf</th>
          <th scope="col">Bin</th>
        </tr>
      </thead>
      <tbody>
        {props.rows.map((row) => {
          const need = row.needs[0]!
          const said = need.stock
            ? stockWords(need.stock, need.unit, need.reorderPoint, props.jobId, props.today)
            : { shape: '', words: need.kind === 'act' ? '' : 'no part on file' }
          const stands = standsSay(row)
          return (
            <tr key={row.key}>
              <td>
                <Box done={row.state === 'accepted' && row.needs.every((one) => one.taken >= one.wanted)} />
              </td>
              <td className="strong">{[...new Set(row.needs.flatMap((one) => one.item ?? []))].join(', ')}</td>
              <td className="number">{need.part?.number}</td>
              <td>
                {need.description}
                {need.kind === 'part' && row.positions.length > 0 ? ` (${positionsSay(row.positions)})` : ''}
                {need.insteadOf ? `, ${need.insteadOf}` : ''}
                {stands ? <span className="soft"> - {stands}</span> : null}
              </td>
              <td className={styles.right}>{quantityFormat(row.quantity, need.unit)}</td>
              <td>
                <span aria-hidden="true">{said.shape}</span> {said.words}
              </td>
              <td>{need.bins.map((bin) => `${bin.bin}, ${bin.store}`).join('; ')}</td>
            </tr>
          )
        })}
      </tbody>
    </table>
  )
}
