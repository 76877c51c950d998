import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { figureRead } from '@/lib/db/figure.ts'
import { testListsRead } from '@/lib/db/figure-tests.ts'
import { testRowOf } from '@/lib/job/test-list.ts'
import { TestsEditor } from './tests-editor.tsx'

export const metadata = { title: 'Tests of a figure' }

export default async function FigureTestsPage({ params }: { params: Promise<{ model: string; figure: string }> }) {
  await signedInWith('catalogue.edit')
  const { model, figure: id } = await params
  const figure = await found(figureRead(idOf(id), { modelId: idOf(model) }))
  const lists = await testListsRead(figure.id)
  return (
    <main className="page narrow stack" id="page">
      <div>
        <p className="over">
          <Link href={paths.figure(figure.model.id, figure.id)}>
            {figure.model.name}, figure {figure.number}
          </Link>
        </p>
        <h1>Tests: {figure.title}</h1>
      </div>
      <p className="soft">
        What is done before a machine is released after work on this figure, and after its first loaded run. Copy limits
        from the maker’s manual; it rules. Open jobs ask for the new list as soon as it is saved: what was ticked stays
        ticked, and what was measured is held against the new limits.
      </p>
      <TestsEditor
        key={figure.id}
        figureId={figure.id}
        version={lists[0]?.version ?? 0}
        kept={figure.tests.map(testRowOf)}
        sides={figure.positions.map((position) => position.label)}
        earlier={lists.map(({ version, who, at, tests }) => ({
          version,
          who,
          at: at.toISOString(),
          rows: tests.map(testRowOf),
        }))}
        formKey={freshKey()}
      />
    </main>
  )
}
