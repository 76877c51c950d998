import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { ScanMachine } from '@/app/_parts/scan/scan-machine.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { UnsafeBadge } from '@/app/_parts/unsafe-badge.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type FigureView, figureRead, figureShelf } from '@/lib/db/figure.ts'
import { type FigureNeighbour, figureNeighbours } from '@/lib/db/figure-browse.ts'
import { jobView } from '@/lib/db/job-read.ts'
import { figureLastFitted } from '@/lib/db/last-fitted.ts'
import { type MachineRow, machineRead, modelRead } from '@/lib/db/machine.ts'
import { attachingWords, partsListByItem } from '@/lib/figure/order-item.ts'
import { targetPlaces } from '@/lib/job/target-places.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { isRefusal } from '@/lib/refusal.ts'
import { directionsRead, positionsMeant } from '@/lib/search/position.ts'
import { stockWords } from '@/lib/stock/stock-words.ts'
import { FigureDesk } from './desk.tsx'
import type { DeskLine } from './desk-line.ts'
import styles from './figure.module.css'
import type { FigureLink } from './figure-bar.tsx'
import { fittedSays } from './fitted-says.ts'
import { LastFittedCard, LastFittedRow } from './last-fitted.tsx'
import { OtherModel, orOtherModel } from './other-model.tsx'
import { BreakFaults, lineMarks } from './parts-list-marks.tsx'

interface Query {
  machine?: string
  job?: string
  item?: string
  side?: string
}

type Props = { params: Promise<{ model: string; figure: string }>; searchParams: Promise<Query> }

export const metadata: Metadata = { title: 'Figure' }

/** What the list, the drawing and the card say of each line; numbers become words here, once. */
async function deskLines(figure: FigureView, ownJobId: number | null, machine: MachineRow | null): Promise<DeskLine[]> {
  const where = machine ? ` on ${machine.fleetNumber}` : ` on any ${figure.model.name}`
  const [{ stock, holdings, reorderPoints, replacedBy, discontinued }, fitted] = await Promise.all([
    figureShelf(figure),
    figureLastFitted(figure, machine?.id ?? null),
  ])
  return partsListByItem(figure.lines).map((line) => {
    const of = stock.get(line.partId)!
    const reorderPoint = reorderPoints.get(line.partId) ?? null
    const { shape, words, state } = stockWords(of, line.unit, reorderPoint, ownJobId, todayIs())
    const last = (fitted.get(line.lineId) ?? []).map((one) => fittedSays(one, line.partNumber, machine !== null))
    const successors = replacedBy.get(line.partId) ?? []
    return {
      lineId: line.lineId,
      item: line.item,
      partId: line.partId,
      partNumber: line.partNumber,
      description: line.description,
      quantity: line.quantity,
      quantitySays: line.quantityNote ?? quantityFormat(line.quantity, line.unit),
      unit: line.unit,
      stations: line.facts.stations ?? null,
      ends: targetPlaces(figure.positions, line.facts).ends,
      indenture: line.indenture,
      notes: [
        ...attachingWords(figure.lines, line),
        ...lineMarks(line),
        ...(successors.length > 0 ? [`replaced by ${successors.join(', ')}`] : []),
        ...(discontinued.has(line.partId) ? ['discontinued'] : []),
      ],
      stockShape: shape,
      stockWords: words,
      stockState: state,
      handSays: of.available < of.onHand ? `${quantityFormat(of.onHand, line.unit)} on hand` : '',
      bins: (holdings.get(line.partId) ?? []).map(
        (bin) => `${bin.bin}, ${bin.store}: ${quantityFormat(bin.quantity, line.unit)}`,
      ),
      fittedRow: <LastFittedRow fitted={last} />,
      fittedCard: <LastFittedCard fitted={last} where={where} />,
    }
  })
}

export default async function FigurePage({ params, searchParams }: Props) {
  const who = await signedIn()
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
        href={(id) => paths.figure(idOf(model), idOf(figureParam), { machine: id, item: query.item, side: query.side })}
      />
    )
  const book = await found(modelRead(figure.model.id))
  const { previous, next } = await figureNeighbours(figure.model.id, figure.id)
  // The machine or the job in hand goes along from figure to figure.
  const hand = job ? { job: job.id } : { machine: machine?.id }
  const beside = (one: FigureNeighbour | null): FigureLink | null =>
    one && { href: paths.figure(figure.model.id, one.id, hand), number: one.number, title: one.title }
  const directions = directionsRead(query.side)
  const lines = await deskLines(figure, job?.id ?? null, machine)
  return (
    <main className="page" id="page">
      <div className={`page-head ${styles.head}`}>
        <div>
          <p className="over">
            <Link href={paths.model(figure.model.id)}>{figure.model.name}</Link>, figure {figure.number}
          </p>
          <h1>{figure.title}</h1>
        </div>
        <form className={`row end ${styles.hand}`} method="get">
          {job ? (
            <p className="badge">
              <Link href={paths.job(job.id)}>
                Job {job.number}: {job.machine.fleetNumber} {job.machine.name}
              </Link>
            </p>
          ) : (
            <>
              <ScanMachine>
                <div className="field">
                  <label htmlFor="machine">Machine in hand</label>
                  <select id="machine" name="machine" defaultValue={machine?.id ?? ''}>
                    <option value="">machine not said</option>
                    {book.machines.map((one) => (
                      <option key={one.id} value={one.id}>
                        {one.fleetNumber} {one.name}
                        {one.serialNumber ? `, S/N ${one.serialNumber}` : ', no S/N'}
                      </option>
                    ))}
                  </select>
                </div>
              </ScanMachine>
              {query.item ? <input type="hidden" name="item" value={query.item} /> : null}
              {query.side ? <input type="hidden" name="side" value={query.side} /> : null}
              <button className="button" type="submit">
                Show<span className={styles.besideTitle}> its lines</span>
              </button>
            </>
          )}
        </form>
      </div>
      {machine?.state === 'unsafe' ? (
        <p>
          <UnsafeBadge /> {machine.fleetNumber} {machine.name}
        </p>
      ) : null}
      {machine &&
      machine.serialNumber === null &&
      lines.some((line) => line.notes.includes('check the serial number')) ? (
        <p className="caution">
          {machine.fleetNumber} has no serial number on file, so every line is shown. Read the plate before you order a
          line with a serial break.
        </p>
      ) : null}
      {figure.callouts.length === 0 ? (
        <p>This figure came in as a list and has no drawing with numbers yet; the list can be used as it is.</p>
      ) : null}
      <FigureDesk
        key={`${figure.id} ${machine?.id ?? ''}`}
        bar={{
          previous: beside(previous),
          next: beside(next),
          print: paths.figurePrint(figure.model.id, figure.id, hand),
          compare: paths.figureCompare(figure.model.id, figure.id, { machineA: machine?.id }),
        }}
        figureId={figure.id}
        title={`Figure ${figure.number}, ${figure.title}`}
        picture={figure.picture}
        page={{ width: figure.width, height: figure.height }}
        callouts={figure.callouts}
        positions={figure.positions}
        lines={lines}
        firstItem={query.item ?? null}
        machineId={machine?.id ?? null}
        modelId={figure.model.id}
        job={job && job.state === 'open' && mayDo(who.roles, 'job.work') ? { id: job.id, number: job.number } : null}
        side={directions.join(',')}
        meant={positionsMeant(figure.positions, directions)}
        mayOpenJob={job === null && mayDo(who.roles, 'job.open')}
        targeted={job ? job.targets.map((target) => target.lineId) : []}
        formKey={freshKey()}
      />
      {mayDo(who.roles, 'catalogue.import') ? <BreakFaults figureId={figure.id} /> : null}
      {mayDo(who.roles, 'catalogue.edit') ? (
        <ul className="plain-list stack tight no-print">
          <li>
            <Link href={paths.figureStrip(figure.model.id, figure.id)} prefetch={false}>
              Strip order
            </Link>
            <span className="soft small"> in what order the parts come off</span>
          </li>
          <li>
            <Link href={paths.figureTests(figure.model.id, figure.id)} prefetch={false}>
              Tests
            </Link>
            <span className="soft small"> before release, and after the first loaded run</span>
          </li>
        </ul>
      ) : null}
      {figure.credit ? <p className="small soft">{figure.credit}</p> : null}
      {mayDo(who.roles, 'catalogue.import') ? (
        <p className="no-print">
          <Link href={paths.desk({ figure: figure.id })} prefetch={false}>
            {figure.callouts.length === 0 ? 'Bring in its drawing' : 'Bring in a newer page'}
          </Link>
          {figure.edition > 1 ? <span className="soft small"> this is edition {figure.edition}</span> : null}
        </p>
      ) : null}
    </main>
  )
}
