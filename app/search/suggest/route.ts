import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { partSearch } from '@/lib/db/part-search.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

/** The first parts that answer what is being typed, for the list under the search field. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('search', async () => {
    await routeGuard(request, null)
    const query = (new URL(request.url).searchParams.get('q') ?? '').slice(0, 100)
    const hits = await partSearch(query, 8)
    return Response.json(
      hits.map((hit) => ({
        id: hit.id,
        number: hit.number,
        description: hit.description,
        says: hit.onHand === 0 ? 'none on shelf' : `${quantityFormat(hit.onHand, hit.unit as StockUnit)} on shelf`,
      })),
    )
  })
}
