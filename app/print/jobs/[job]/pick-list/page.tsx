import { idOf } from '@/app/_parts/found.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { dueSays } from '@/lib/buying/order-text.ts'
import { jobPickList } from '@/lib/db/job-parts.ts'
import { partsOnOrder } from '@/lib/db/part.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { pickRowName, pickRows } from '@/lib/job/pick-list.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { batchSays } from '@/lib/stock/batch.ts'
import styles from '../../../_parts/sheet.module.css'
import { Box, Part, Sheet, WriteOn } from '../../../_parts/sheet.tsx'
import { jobFacts, jobFoot, printJob } from '../print-job.ts'

export const metadata = { title: 'Pick list on paper' }

/** What is still to be taken, bin after bin as a person walks, and what the shelf cannot give. */
export default async function PickListPage({ params }: { params: Promise<{ job: string }> }) {
  await signedIn()
  const job = await printJob(idOf((await params).job), paths.printPickList)
  const list = await jobPickList(job.id)
  const coming = await partsOnOrder(list.short.map((line) => line.partId))
  const needOf = new Map(job.needs.map((need) => [need.id, need]))
  const rows = pickRows(list.lines)
  return (
    <Sheet
      title={`Pick list, job ${job.number}`}
      back={{ href: paths.jobTake(job.id), says: 'Back to the pick list' }}
      foot={jobFoot(job)}
      facts={jobFacts(job)}
    >
      <Part title="In the order of the bins">
        {rows.length === 0 ? <p>Nothing is left to take from the shelf.</p> : null}
        {rows.length > 0 ? (
          <table className={styles.list}>
            <thead>
              <tr>
                <th scope="col">
                  <span className="visually-hidden">Taken</span>
                </th>
                <th scope="col">Bin</th>
                <th scope="col">Store</th>
                <th scope="col">Part number</th>
                <th scope="col">Description</th>
                <th scope="col" className={styles.right}>
                  Qty
                </th>
                <th scope="col" className={styles.fill}>
                  Taken
                </th>
              </tr>
            </thead>
            <tbody>
              {rows.map((row) => {
                const needs = row.needs.map(({ needId }) => needOf.get(needId)!)
                const need = needs[0]!
                const codes = need.kind === 'part' ? [...new Set(needs.flatMap((one) => one.positions))] : []
                return (
                  <tr key={pickRowName(row)}>
                    <td>
                      <Box />
                    </td>
                    <td className={`number ${styles.bin}`}>{row.bin}</td>
                    <td>{row.store}</td>
                    <td className="number strong">{need.part!.number}</td>
                    <td>
                      {need.description}
                      {codes.length > 0 ? ` (${positionsSay(codes)})` : ''}
                      {need.insteadOf ? `, ${need.insteadOf}` : ''}
                      {row.batch ? <strong>, {batchSays(row.batch)}</strong> : null}
                    </td>
                    <td className={`strong ${styles.right}`}>{quantityFormat(row.quantity, need.part!.unit)}</td>
                    <td className={styles.fill} />
                  </tr>
                )
              })}
            </tbody>
          </table>
        ) : null}
      </Part>
      {list.short.length > 0 ? (
        <Part title="Not on the shelf, or kept for other jobs">
          <table className={styles.list}>
            <thead>
              <tr>
                <th scope="col">Part number</th>
                <th scope="col">Description</th>
                <th scope="col" className={styles.right}>
                  Qty
                </th>
                <th scope="col">On order</th>
              </tr>
            </thead>
            <tbody>
              {list.short.map((line) => {
                const need = needOf.get(line.needId)!
                const order = coming.get(line.partId)
                return (
                  <tr key={line.needId}>
                    <td className="number">{need.part!.number}</td>
                    <td>
                      {need.description}
                      {need.kind === 'part' && need.positions.length > 0 ? ` (${positionsSay(need.positions)})` : ''}
                    </td>
                    <td className={styles.right}>{quantityFormat(line.quantity, need.part!.unit)}</td>
                    <td>{order ? `${order.number}, ${dueSays(order.dueOn, todayIs()).words}` : 'not ordered yet'}</td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </Part>
      ) : null}
      <WriteOn lines={[{ says: 'Taken by, date' }]} />
    </Sheet>
  )
}
