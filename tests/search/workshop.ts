import { partNumberKey } from '../../lib/catalogue/part-number.ts'
import { supersessionEnter } from '../../lib/db/part.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter } from '../support/database.ts'

/** A small parts book whose descriptions are written as makers write them: noun first, commas, sizes with x. */
export const BOOK: readonly [number: string, description: string, maker?: string][] = [
  ['SP-540', 'Split pin, 5 x 40', 'Brindlewick'],
  ['SP-636', 'PIN, SPLIT, 6.3 x 36', 'Harrowgill'],
  ['CL-47', 'Circlip, internal, 47'],
  ['HC-20', 'Hose clip, 12 to 20'],
  ['GS-8', 'Grub screw, M8 x 10'],
  ['TY-600', 'Tyre, 6.00-16'],
  ['RP-6', 'Roll pin, 6 x 30'],
  ['WN-18', 'Wheel nut, M18 x 1.5'],
  ['SL-1', 'Silencer'],
  ['WS-1', 'Windscreen'],
  ['DP-2', 'Damper, seat'],
  ['TR-4', 'Track rod end'],
  ['GN-8', 'Grease nipple, M8 x 1'],
  ['MG-1', 'Mudguard, rear'],
  ['CN-24', 'Castle nut, M24'],
  ['BU-35', 'Bush, knife'],
  ['BU-36', 'Bushes, set of four'],
  ['SC-9', 'Spacer, aluminium'],
  ['6205-2RS', 'Ball bearing, 25 x 52 x 15'],
  ['BH-3', 'Bearing housing'],
  ['OS-45', 'Oil seal, 45 x 90 x 10'],
  ['VB-2120', 'V-belt, 16.3 x 2120'],
  ['DI-90', 'Diaphragm, nitrile'],
  ['BS-200', 'Brake shoe with lining'],
  ['BD-200', 'Brake drum, 200'],
  ['FK-1', 'Flail knife, right-angled'],
  ['SB-12', 'Shear bolt, M12 x 60'],
  ['KP-30', 'Kingpin'],
  ['CW-28', 'Crown wheel, 28 teeth'],
  ['AB-12 3', 'Adjuster bracket'],
  ['0070-551', 'Return spring, cam end'],
  ['ST43.130', 'Bearing, rear roller'],
  ['ST43.131', 'Bearing, rear roller, sealed'],
  ['DC-7', 'Drain cock, 1/4 inch'],
  ['PN-77', 'Öse für Kette', 'Böhm'],
]

export interface SearchWorkshop {
  ids: Map<string, number>
  modelId: number
  machineId: number
  otherMachineId: number
  figureId: number
  person: string
}

/** The book with a trailer model, its brake figure, two machines, a supplier, one superseded part and three past jobs. */
export async function searchWorkshop(): Promise<SearchWorkshop> {
  const person = await aPerson('Ada Quill')
  const ids = new Map<string, number>()
  for (const [number, description, maker] of BOOK)
    ids.set(number, await aPart({ number, description, ...(maker ? { maker } : {}), partClass: classOf(description) }))
  const machineId = await aMachine('W-01', 'TB 1500')
  const otherMachineId = await aMachine('T-02', 'TB1499')
  const binId = await aBin('A-1')
  const idOf = (number: string) => ids.get(number)!
  const made = await inTransaction(async (tx) => {
    const { modelId } = await tx.machine.update({ where: { id: machineId }, data: { name: 'Tipping trailer, yard' } })
    await tx.machine.update({ where: { id: otherMachineId }, data: { modelId } })
    await tx.machineModel.update({ where: { id: modelId }, data: { maker: 'Dunmarrow', name: 'T6' } })
    await tx.picture.create({
      data: { id: 'p', mediaType: 'image/png', extension: 'png', width: 9, height: 9, bytes: 9, createdAt: new Date() },
    })
    const figure = await tx.figure.create({
      data: { title: 'Hub and drum brake', pictureId: 'p', width: 9, height: 9, createdAt: new Date() },
    })
    await tx.figureOfModel.create({
      data: { modelId, figureId: figure.id, number: '5-04', numberKey: partNumberKey('5-04') },
    })
    const line = (sort: number, number: string, more: { serialFrom?: string; serialTo?: string } = {}) =>
      tx.partsListLine.create({
        data: {
          figureId: figure.id,
          sort,
          item: String(sort),
          partId: idOf(number),
          description: number,
          quantity: 1,
          ...more,
        },
      })
    const shoe = await line(1, 'BS-200')
    await line(2, 'BD-200', { serialFrom: 'TB1500' })
    await line(3, 'OS-45', { serialTo: 'TB1499' })
    await line(4, 'ST43.130')
    const supplier = await tx.supplier.create({
      data: { name: 'Ellerby Spares', nameKey: 'ellerby spares', leadTimeDays: 3 },
    })
    await tx.offer.create({
      data: { supplierId: supplier.id, partId: idOf('KP-30'), supplierNumber: 'QX 88/204-A', priceMinor: 100 },
    })
    await tx.balance.create({ data: { partId: idOf('BD-200'), binId, quantity: 2 } })
    const jobs: [complaint: string, cause: string, correction: string][] = [
      ['Brake binds, drum gets hot', 'Return spring broken', 'Shoes renewed on both sides'],
      ['Grinding noise that rises with speed', 'Cage of the bearing broken', 'Bearing renewed'],
      ['Drips oil overnight', 'Seal hardened', 'Seal renewed, level made up'],
    ]
    for (const [at, [complaint, cause, correction]] of jobs.entries()) {
      const job = await tx.job.create({
        data: { number: at + 1, machineId, complaint, cause, correction, openedAt: new Date(), openedById: person },
      })
      if (at > 0) continue
      await tx.jobTarget.create({
        data: { jobId: job.id, figureId: figure.id, lineId: shoe.id, item: '1', quantity: 2 },
      })
      await tx.jobNeed.create({
        data: {
          jobId: job.id,
          key: 'shoe',
          origin: 'target',
          kind: 'part',
          partId: idOf('BS-200'),
          description: 'Brake shoe',
          strength: 'must',
          suggested: 2,
          wanted: 2,
          taken: 2,
          state: 'accepted',
        },
      })
    }
    return { modelId, figureId: figure.id }
  })
  await supersessionEnter(asWriter(person), {
    oldPartId: idOf('ST43.130'),
    newPartId: idOf('ST43.131'),
    ratio: 1,
    interchange: 'one-way',
  })
  return { ids, machineId, otherMachineId, person, ...made }
}

export function classOf(description: string) {
  if (/bearing/i.test(description)) return 'bearing' as const
  return /brake shoe/i.test(description) ? ('brake-shoe' as const) : ('other' as const)
}
