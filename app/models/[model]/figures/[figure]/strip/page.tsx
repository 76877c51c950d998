import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type FigureView, figureRead } from '@/lib/db/figure.ts'
import { stripHistoryRead } from '@/lib/db/strip.ts'
import { type DraftLine, draftOf, type StripDraft } from '@/lib/figure/strip-draft.ts'
import { itemKey } from '@/lib/figure/strip-order.ts'
import { stripProposal } from '@/lib/figure/strip-proposal.ts'
import { type Proposed, StripEditor } from './strip-editor.tsx'

export const metadata = { title: 'Strip order' }

/** One line an item: old and new, left and right come off alike. */
function linesOf(figure: FigureView): DraftLine[] {
  const first = new Map<string, DraftLine>()
  for (const { item, description, attaches } of figure.lines)
    if (!first.has(itemKey(item)))
      first.set(itemKey(item), { item, name: description, ...(attaches === undefined ? {} : { attaches }) })
  return [...first.values()]
}

function proposedOf(figure: FigureView, lines: DraftLine[]): Proposed {
  const { order, edges, says } = stripProposal(figure)
  const steps = order.map((item) => ({ item }))
  const why: Record<string, string> = {}
  for (const edge of edges) {
    const sure = edge.confidence >= 0.85 ? 'sure' : edge.confidence >= 0.65 ? 'likely' : 'a guess'
    why[`${edge.first} ${edge.then}`] = `${edge.why}, ${sure}`
  }
  return { draft: draftOf({ steps, edges }, lines), why, says }
}

export default async function StripOrderPage({ params }: { params: Promise<{ model: string; figure: string }> }) {
  await signedInWith('catalogue.edit')
  const { model, figure: id } = await params
  const figure = await found(figureRead(idOf(id), { modelId: idOf(model) }))
  const saved = await stripHistoryRead(figure.id)
  const lines = linesOf(figure)
  const kept: StripDraft = draftOf({ edges: figure.strip, steps: figure.stripSteps }, lines)
  return (
    <main className="page stack" id="page">
      <div>
        <p className="over">
          <Link href={paths.figure(figure.model.id, figure.id)}>
            {figure.model.name}, figure {figure.number}
          </Link>
        </p>
        <h1>Strip order: {figure.title}</h1>
      </div>
      <p className="soft">
        Tap the parts in the order they come off. Jobs are stripped in this order and rebuilt backwards; the maker’s
        manual rules.
      </p>
      <StripEditor
        key={figure.id}
        figureId={figure.id}
        edition={figure.edition}
        version={saved[0]?.version ?? 0}
        kept={kept}
        lines={lines}
        proposed={proposedOf(figure, lines)}
        earlier={saved.map(({ version, who, at, content }) => ({
          version,
          who,
          at: at.toISOString(),
          draft: draftOf(content, lines),
        }))}
        title={`Figure ${figure.number}, ${figure.title}`}
        picture={figure.picture}
        page={{ width: figure.width, height: figure.height }}
        callouts={figure.callouts}
        formKey={freshKey()}
      />
    </main>
  )
}
