import { serialBreaksCover, serialBreaksSay } from '../catalogue/serial-break.ts'
import { orderedLine } from '../figure/order-item.ts'
import { database } from './client.ts'
import { lineRowBreaks } from './line-breaks.ts'

export interface WhereUsed {
  lineId: number
  modelId: number
  model: string
  figureId: number
  figure: string
  /** Figure number in the book of that model. */
  number: string
  item: string
  side: 'LH' | 'RH' | null
  serialBreak: string
  /** Per assembly, minor units. */
  quantity: number
  positions: number
  /** Not sold separately here: the item and part to order instead. */
  orderInstead: { item: string; partId: number; number: string } | null
  /** Machines of ours of that model: inside the break, outside it, and those whose serial number cannot be told. */
  machines: { inside: MachineAt[]; outside: number; unknown: MachineAt[] }
}

export interface MachineAt {
  id: number
  fleetNumber: string
  name: string
  state: string
}

const LINES_MAX = 500

/** Every place of every model where a part is fitted, and the machines of ours that have it. At most 500 lines are read. */
export async function partWhereUsed(partId: number): Promise<{ uses: WhereUsed[]; cut: boolean }> {
  const db = database()
  const lines = await db.partsListLine.findMany({
    where: { partId, retiredAt: null },
    take: LINES_MAX + 1,
    orderBy: [{ figureId: 'asc' }, { sort: 'asc' }],
    include: { figure: { include: { models: { include: { model: true } } } } },
  })
  const read = lines.slice(0, LINES_MAX)
  const modelIds = [...new Set(read.flatMap((line) => line.figure.models.map((of) => of.modelId)))]
  const instead = [...new Set(read.filter((line) => line.orderItem !== null).map((line) => line.figureId))]
  const [machines, siblings] = await Promise.all([
    db.machine.findMany({ where: { modelId: { in: modelIds } }, orderBy: { fleetKey: 'asc' } }),
    db.partsListLine.findMany({
      where: { figureId: { in: instead }, retiredAt: null },
      include: { part: { select: { number: true } } },
      orderBy: { sort: 'asc' },
    }),
  ])
  const uses = read.flatMap((line) =>
    line.figure.models.map((of): WhereUsed => {
      const breaks = lineRowBreaks(line)
      const ours = machines.filter((machine) => machine.modelId === of.modelId)
      const answer = (machine: (typeof ours)[number]) => serialBreaksCover(breaks, machine.serialNumber)
      const at = ({ id, fleetNumber, name, state }: (typeof ours)[number]) => ({ id, fleetNumber, name, state })
      const own = siblings.filter((one) => one.figureId === line.figureId).map(orderable)
      const ordered = line.orderItem === null ? null : orderedLine(own, orderable({ ...line, part: { number: '' } }))
      return {
        lineId: line.id,
        modelId: of.modelId,
        model: `${of.model.maker} ${of.model.name}`,
        figureId: line.figureId,
        figure: line.figure.title,
        number: of.number,
        item: line.item,
        side: line.side as WhereUsed['side'],
        serialBreak: serialBreaksSay(breaks),
        quantity: line.quantity,
        positions: (JSON.parse(line.figure.positions) as unknown[]).length,
        orderInstead: ordered && { item: ordered.item, partId: ordered.partId, number: ordered.number },
        machines: {
          inside: ours.filter((machine) => answer(machine) === 'applies').map(at),
          outside: ours.filter((machine) => answer(machine) === 'not').length,
          unknown: ours.filter((machine) => answer(machine) === 'unknown').map(at),
        },
      }
    }),
  )
  return { uses, cut: lines.length > LINES_MAX }
}

function orderable(line: {
  item: string
  orderItem: string | null
  side: string | null
  partId: number
  part: { number: string }
}) {
  return {
    item: line.item,
    partId: line.partId,
    number: line.part.number,
    ...(line.orderItem === null ? {} : { orderItem: line.orderItem }),
    ...(line.side === null ? {} : { side: line.side as 'LH' | 'RH' }),
  }
}
