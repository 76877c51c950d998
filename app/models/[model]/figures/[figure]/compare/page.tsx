import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type SerialPair, serialPair } from '@/lib/catalogue/serial-pair.ts'
import { figureRead } from '@/lib/db/figure.ts'
import { machinesOfFigure } from '@/lib/db/figure-browse.ts'
import { type MachineRow, machineRead } from '@/lib/db/machine.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import styles from './compare.module.css'

interface Query {
  machineA?: string
  serialA?: string
  machineB?: string
  serialB?: string
}

type Props = { params: Promise<{ model: string; figure: string }>; searchParams: Promise<Query> }

export const metadata: Metadata = { title: 'Two serial numbers' }

type Choice = Pick<MachineRow, 'id' | 'fleetNumber' | 'name' | 'serialNumber'>

interface Side {
  letter: 'A' | 'B'
  machine: Choice | null
  typed: string
  serialNumber: string | null
  /** Why the machine that was asked for cannot be used. */
  fault: string | null
}

/** A typed serial number goes before a chosen machine's. */
async function sideOf(letter: 'A' | 'B', machines: Choice[], machineId = '', serial = ''): Promise<Side> {
  const machine = machines.find((one) => String(one.id) === machineId) ?? null
  const other = machine === null && machineId !== '' ? await found(machineRead(idOf(machineId))) : null
  const typed = serial.trim().slice(0, 60)
  return {
    letter,
    machine,
    typed,
    serialNumber: typed === '' ? (machine?.serialNumber ?? null) : typed,
    fault: other
      ? `${other.fleetNumber} ${other.name} is a ${other.model.name}: this figure is not in its parts book.`
      : null,
  }
}

const SHAPE: Record<SerialPair, string> = { both: '●', first: '◐', second: '◑', neither: '○', unknown: '?' }
const WORDS: Record<SerialPair, string> = {
  both: 'both',
  first: 'only A',
  second: 'only B',
  neither: 'neither',
  unknown: 'read the plate',
}

/** Which lines of a figure two machines share, and which only one of them has. */
export default async function FigureComparePage({ params, searchParams }: Props) {
  await signedIn()
  const [{ model, figure: figureParam }, query] = [await params, await searchParams]
  const figure = await found(figureRead(idOf(figureParam), { modelId: idOf(model) }))
  const machines = await machinesOfFigure(figure.id)
  const a = await sideOf('A', machines, query.machineA, query.serialA)
  const b = await sideOf('B', machines, query.machineB, query.serialB)
  const both = a.serialNumber !== null && b.serialNumber !== null
  const lines = figure.lines.map((line) => ({ ...line, on: serialPair(line.breaks, a.serialNumber, b.serialNumber) }))
  const count = (on: SerialPair) => lines.filter((line) => line.on === on).length
  return (
    <main className="page stack" id="page">
      <div>
        <p className="small soft">
          <Link href={paths.model(figure.model.id)}>{figure.model.name}</Link>,{' '}
          <Link href={paths.figure(figure.model.id, figure.id, { machine: a.machine?.id })}>
            figure {figure.number} {figure.title}
          </Link>
        </p>
        <h1>Two serial numbers</h1>
      </div>
      <form method="get" className={styles.sides}>
        {[a, b].map((side) => (
          <fieldset key={side.letter}>
            <legend>
              <span aria-hidden="true">{side.letter === 'A' ? '◐' : '◑'}</span> {side.letter}
            </legend>
            <div className="field">
              <label htmlFor={`machine${side.letter}`}>Machine</label>
              <select
                id={`machine${side.letter}`}
                name={`machine${side.letter}`}
                defaultValue={side.typed === '' ? (side.machine?.id ?? '') : ''}
              >
                <option value="">none, type a number</option>
                {machines.map((one) => (
                  <option key={one.id} value={one.id}>
                    {one.fleetNumber} {one.name}
                    {one.serialNumber ? `, S/N ${one.serialNumber}` : ', no S/N'}
                  </option>
                ))}
              </select>
            </div>
            <div className="field">
              <label htmlFor={`serial${side.letter}`}>or serial number</label>
              <input
                id={`serial${side.letter}`}
                name={`serial${side.letter}`}
                defaultValue={side.typed}
                maxLength={60}
                autoComplete="off"
              />
            </div>
            {side.fault ? (
              <p className="fault" role="alert">
                {side.fault}
              </p>
            ) : null}
            {side.typed === '' && side.machine !== null && side.machine.serialNumber === null ? (
              <p className="fault">
                {side.machine.fleetNumber} has no serial number on file: read its plate and type it here.
              </p>
            ) : null}
          </fieldset>
        ))}
        <button className="button primary" type="submit">
          Compare
        </button>
      </form>
      {both ? (
        <>
          <p role="status">
            {count('first')} only on A (S/N {a.serialNumber}), {count('second')} only on B (S/N {b.serialNumber}),{' '}
            {count('both')} on both
            {count('neither') > 0 ? `, ${count('neither')} on neither` : ''}
            {count('unknown') > 0 ? `, ${count('unknown')} cannot be told: the number is of another kind` : ''}.
          </p>
          <table className="parts">
            <caption className="visually-hidden">Parts list, set against both serial numbers</caption>
            <thead>
              <tr>
                <th scope="col">On</th>
                <th scope="col">Item</th>
                <th scope="col">Part</th>
                <th scope="col" className="right">
                  Qty
                </th>
              </tr>
            </thead>
            <tbody>
              {lines.map((line) => (
                <tr key={line.lineId} className={line.on === 'both' ? undefined : styles.differs}>
                  <td className={styles.on}>
                    <span aria-hidden="true">{SHAPE[line.on]}</span> {WORDS[line.on]}
                  </td>
                  <td>
                    <Link
                      className={styles.item}
                      prefetch={false}
                      href={paths.figure(figure.model.id, figure.id, {
                        item: line.item,
                        machine: (line.on === 'second' ? b : a).machine?.id,
                      })}
                    >
                      {line.item}
                      <span className="visually-hidden">, show on the drawing</span>
                    </Link>
                  </td>
                  <td>
                    {line.description}
                    <br />
                    <Link href={paths.part(line.partId)} className="number" prefetch={false}>
                      {line.partNumber}
                    </Link>
                    {line.serialBreak === '' ? null : <span className="small soft"> {line.serialBreak}</span>}
                  </td>
                  <td className="right">{line.quantityNote ?? quantityFormat(line.quantity, line.unit)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      ) : (
        <p className="empty">Choose a machine or type a serial number on both sides.</p>
      )}
    </main>
  )
}
