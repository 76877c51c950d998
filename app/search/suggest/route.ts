import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { paths } from '@/app/paths.ts'
import { type PartHit, search } from '@/lib/db/search.ts'
import type { StockUnit } from '@/lib/measure/quantity.ts'
import { stockWords } from '@/lib/stock/stock-words.ts'

/** One line of the list under the search field. */
export interface Suggestion {
  href: string
  /** The number or name that leads the line. */
  lead: string
  text: string
  says: string
}

export interface Suggestions {
  groups: { kind: string; lines: Suggestion[] }[]
  /** What was looked for instead of what was typed. */
  meant: string | null
}

const TAKES = { parts: 6, figures: 3, machines: 3, jobs: 3, brief: true }

function partLine(part: PartHit): Suggestion {
  const { shape, words } = stockWords(part, part.unit as StockUnit, part.reorderPoint)
  const says = [
    part.supplierNumber ? `${part.supplierNumber.number} of ${part.supplierNumber.supplier}` : '',
    part.replaces ? `replaces ${part.replaces}` : '',
    part.replacedBy ? `replaced by ${part.replacedBy}` : '',
    part.alike ? 'another number than typed' : '',
    `${shape} ${words}`,
  ]
  return {
    href: paths.part(part.id),
    lead: part.number,
    text: part.description,
    says: says.filter((one) => one !== '').join(', '),
  }
}

/** The first answers of each kind to what is being typed. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('search', async () => {
    await routeGuard(request, null)
    const typed = (new URL(request.url).searchParams.get('q') ?? '').slice(0, 200)
    const { parts, supplierNumbers, figures, machines, jobs, meant, directions } = await search(typed, TAKES)
    const groups: Suggestions['groups'] = [
      { kind: 'Parts', lines: parts.map(partLine) },
      { kind: 'Suppliers’ numbers', lines: supplierNumbers.map(partLine) },
      {
        kind: 'Figures',
        lines: figures.map((figure) => ({
          href: paths.figure(figure.modelId, figure.id, {
            item: figure.item ?? undefined,
            side: directions.join(','),
          }),
          lead: figure.number,
          text: figure.title,
          says: figure.model,
        })),
      },
      {
        kind: 'Machines',
        lines: machines.map((machine) => ({
          href: paths.machine(machine.id),
          lead: machine.fleetNumber,
          text: machine.name,
          says: machine.serialNumber ? `${machine.model}, S/N ${machine.serialNumber}` : machine.model,
        })),
      },
      {
        kind: 'Past jobs',
        lines: jobs.map((job) => ({
          href: paths.job(job.id),
          lead: `Job ${job.number}`,
          text: job.complaint,
          says: `${job.fleetNumber}, ${job.model}`,
        })),
      },
    ]
    const answer: Suggestions = { groups: groups.filter(({ lines }) => lines.length > 0), meant }
    return Response.json(answer)
  })
}
