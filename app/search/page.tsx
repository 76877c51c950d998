import Link from 'next/link'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { partSearch, placesSearch } from '@/lib/db/part-search.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'

export const metadata = { title: 'Search' }

export default async function SearchPage({ searchParams }: { searchParams: Promise<{ q?: string }> }) {
  await signedIn()
  const query = ((await searchParams).q ?? '').slice(0, 100)
  const [parts, places] = await Promise.all([partSearch(query, 50), placesSearch(query)])
  const nothing = parts.length + places.figures.length + places.machines.length === 0
  return (
    <main className="page stack" id="page">
      <h1>Search</h1>
      <form className="row" action="/search">
        <div className="field">
          <label htmlFor="q">Part number, word of the trade, machine</label>
          <input id="q" type="search" name="q" defaultValue={query} />
        </div>
        <button className="button primary" type="submit">
          Search
        </button>
      </form>
      {query.trim() === '' ? null : nothing ? (
        <p className="empty">
          Nothing answers “{query}”. Try the number without dashes, one word less, or the other name (split pin, cotter
          pin).
        </p>
      ) : null}
      {places.machines.length > 0 ? (
        <section className="stack tight">
          <h2>Machines</h2>
          <ul className="plain-list stack tight">
            {places.machines.map((machine) => (
              <li key={machine.id}>
                <Link href={paths.machine(machine.id)}>
                  {machine.fleetNumber} {machine.name}
                </Link>{' '}
                <span className="soft">{machine.model}</span>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {places.figures.length > 0 ? (
        <section className="stack tight">
          <h2>Figures</h2>
          <ul className="plain-list stack tight">
            {places.figures.map((figure) => (
              <li key={`${figure.modelId} ${figure.id}`}>
                <Link href={paths.figure(figure.modelId, figure.id)}>
                  {figure.number} {figure.title}
                </Link>{' '}
                <span className="soft">{figure.model}</span>
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {parts.length > 0 ? (
        <section className="stack tight">
          <h2>Parts</h2>
          <table className="parts fold">
            <thead>
              <tr>
                <th scope="col">Number</th>
                <th scope="col">Description</th>
                <th scope="col">Maker</th>
                <th scope="col" className="right">
                  On shelf
                </th>
              </tr>
            </thead>
            <tbody>
              {parts.map((part) => (
                <tr key={part.id}>
                  <td className="number">
                    <Link href={paths.part(part.id)}>{part.number}</Link>
                  </td>
                  <td>{part.description}</td>
                  <td className="soft">{part.maker}</td>
                  <td className="right" data-label="on shelf">
                    {quantityFormat(part.onHand, part.unit as StockUnit)}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      ) : null}
    </main>
  )
}
