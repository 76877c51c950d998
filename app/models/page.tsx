import Link from 'next/link'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { modelsList } from '@/lib/db/machine.ts'
import { mayDo } from '@/lib/people/role.ts'

export const metadata = { title: 'Parts books' }

export default async function PartsBooksPage() {
  const who = await signedIn()
  const models = await modelsList()
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <h1>Parts books</h1>
        <div className="row">
          {mayDo(who.roles, 'catalogue.edit') ? (
            <Link className="button" href={paths.partNew()} prefetch={false}>
              Enter a part
            </Link>
          ) : null}
          {mayDo(who.roles, 'catalogue.import') ? (
            <>
              <Link className="button" href={paths.desk()}>
                Read a page
              </Link>
              <Link className="button" href={paths.figureImport()}>
                Bring in a picture with its JSON file
              </Link>
              <Link className="button" href={paths.exchange()}>
                Import and export
              </Link>
            </>
          ) : null}
        </div>
      </div>
      {models.length === 0 ? (
        <p className="empty">No parts book yet. Read a page of one, and its model appears here.</p>
      ) : (
        <table className="parts fold">
          <thead>
            <tr>
              <th scope="col">Model</th>
              <th scope="col">Kind</th>
              <th scope="col" className="right">
                Figures
              </th>
              <th scope="col" className="right">
                Machines
              </th>
            </tr>
          </thead>
          <tbody>
            {models.map((model) => (
              <tr key={model.id}>
                <td className="wide">
                  <Link href={paths.model(model.id)}>
                    {model.maker} {model.name}
                  </Link>
                </td>
                <td>{model.kind}</td>
                <td className="right" data-label="figures">
                  {model.figures}
                </td>
                <td className="right" data-label="machines">
                  {model.machines}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </main>
  )
}
