import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { figureRead } from '@/lib/db/figure.ts'
import { jobView } from '@/lib/db/job-read.ts'
import { machineRead } from '@/lib/db/machine.ts'
import { partsListByItem } from '@/lib/figure/order-item.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { isRefusal } from '@/lib/refusal.ts'
import { IndentDots } from '../indent-dots.tsx'
import { OtherModel, orOtherModel } from '../other-model.tsx'
import styles from './print.module.css'
import { PrintedDrawing } from './printed-drawing.tsx'

type Props = {
  params: Promise<{ model: string; figure: string }>
  searchParams: Promise<{ machine?: string; job?: string }>
}

export const metadata: Metadata = { title: 'Figure on paper' }

/** Lines from which the list is set in two columns, so that figure and list stay on two sheets. */
const TWO_COLUMNS_FROM = 13

/** The figure as a sheet to take to the bench: drawing first, then its parts list for the machine in hand. */
export default async function FigurePrintPage({ params, searchParams }: Props) {
  await signedIn()
  const [{ model, figure: figureParam }, query] = [await params, await searchParams]
  const job = query.job ? await found(jobView(idOf(query.job))) : null
  const machineId = job?.machine.id ?? (query.machine ? idOf(query.machine) : null)
  const machine = machineId === null ? null : await found(machineRead(machineId))
  const figure = await found(
    orOtherModel(
      figureRead(idOf(figureParam), { modelId: idOf(model), serialNumber: machine?.serialNumber ?? null, machine }),
    ),
  )
  if (isRefusal(figure))
    return (
      <OtherModel
        refusal={figure}
        figureId={idOf(figureParam)}
        href={(id) => paths.figurePrint(idOf(model), idOf(figureParam), { machine: id })}
      />
    )
  const listed = new Set(figure.lines.map((line) => line.item))
  return (
    <main className={`page ${styles.paper}`} id="page">
      <p className="row spread no-print">
        <Link href={paths.figure(figure.model.id, figure.id, job ? { job: job.id } : { machine: machine?.id })}>
          Back to the figure
        </Link>
        <PrintButton>Print</PrintButton>
      </p>
      <header className={styles.head}>
        <h1>
          {figure.number} {figure.title}
        </h1>
        <dl>
          <div>
            <dt>Model</dt>
            <dd>{figure.model.name}</dd>
          </div>
          <div>
            <dt>Lines for</dt>
            <dd>
              {machine === null
                ? 'every serial number'
                : `${machine.fleetNumber} ${machine.name}, ${machine.serialNumber === null ? 'no serial number on file' : `S/N ${machine.serialNumber}`}`}
            </dd>
          </div>
          {job ? (
            <div>
              <dt>Job</dt>
              <dd>{job.number}</dd>
            </div>
          ) : null}
          <div>
            <dt>Printed</dt>
            <dd>
              <When at={new Date()} />
            </dd>
          </div>
        </dl>
      </header>
      <PrintedDrawing figure={figure} />
      <div className={figure.lines.length >= TWO_COLUMNS_FROM ? styles.columns : undefined}>
        <table className={styles.list}>
          <caption className="visually-hidden">Parts list</caption>
          <thead>
            <tr>
              <th scope="col">Item</th>
              <th scope="col">Part number</th>
              <th scope="col">Description</th>
              <th scope="col" className="right">
                Qty
              </th>
            </tr>
          </thead>
          <tbody>
            {partsListByItem(figure.lines).map((line) => (
              <tr key={line.lineId}>
                <td className="strong">{line.item}</td>
                <td className="number">{line.partNumber}</td>
                <td>
                  <IndentDots indenture={line.indenture} />
                  {line.description}
                  {[line.side ? `${line.side} only` : '', line.serialBreak, line.note ?? '']
                    .filter((note) => note !== '')
                    .map((note) => (
                      <span key={note} className="soft">
                        , {note}
                      </span>
                    ))}
                </td>
                <td className="right">{line.quantityNote ?? quantityFormat(line.quantity, line.unit)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {figure.callouts.some((callout) => !listed.has(callout.item)) ? (
        <p className={styles.foot}>Numbers in brackets on the drawing have no line for this machine.</p>
      ) : null}
      <p className={styles.foot}>
        Torques, settings and cautions: the maker’s manual.
        {figure.credit ? ` ${figure.credit}` : ''}
      </p>
    </main>
  )
}
