import type { Labelled } from '@/lib/db/label.ts'
import { labelLayout } from '@/lib/label/label-layout.ts'
import { labelPlaces, labelsAPage } from '@/lib/label/label-sheet.ts'
import type { LabelAsked } from '@/lib/label/schema.ts'
import { counted } from '@/lib/measure/counted.ts'
import { labelRuler, labelsCopied } from '@/lib/picture/label-pdf.ts'
import styles from './labels.module.css'

/** The first sheet as it comes out of the printer; labels that are gone from it are crossed out. */
export function Preview({ labels, asked }: { labels: readonly Labelled[]; asked: LabelAsked }) {
  const { sheet, from, copies, symbol, right, down } = asked
  const all = labelsCopied(labels, copies)
  const places = labelPlaces(sheet, all.length, from)
  const pages = (places.at(-1)?.page ?? 0) + 1
  const measure = labelRuler()
  const first = all.filter((_, at) => places[at]!.page === 0)
  const edges = labelPlaces(sheet, labelsAPage(sheet))
  return (
    <figure className="stack tight">
      <svg
        className={styles.paper}
        style={{ maxWidth: `${Math.max(22, sheet.pageWidth * 0.19)}rem` }}
        viewBox={`0 0 ${sheet.pageWidth} ${sheet.pageHeight}`}
        role="img"
        aria-label={`First sheet: ${first
          .slice(0, 8)
          .map((label) => label.lead)
          .join(', ')}${first.length > 8 ? ' and more' : ''}`}
      >
        {edges.map(({ x, y }, at) => (
          <g key={`${x} ${y}`}>
            <rect className={styles.edge} x={x} y={y} width={sheet.width} height={sheet.height} />
            {at < from - 1 ? (
              <path
                className={styles.gone}
                d={`M${x} ${y}l${sheet.width} ${sheet.height}m0 ${-sheet.height}l${-sheet.width} ${sheet.height}`}
              />
            ) : null}
          </g>
        ))}
        {first.map((label, at) => {
          const { x, y } = places[at]!
          const { boxes, words } = labelLayout(label, sheet, symbol, measure)
          return (
            <g key={`${x} ${y}`} transform={`translate(${x + right} ${y + down})`}>
              <path d={boxes.map((box) => `M${box.x} ${box.y}h${box.width}v${box.height}h${-box.width}z`).join('')} />
              {words.map((word) => (
                <text
                  key={`${word.y} ${word.text}`}
                  x={word.x}
                  y={word.y}
                  fontSize={word.size}
                  fontWeight={word.bold ? 700 : 400}
                  textLength={word.width > 0 ? word.width : undefined}
                  lengthAdjust="spacingAndGlyphs"
                >
                  {word.text}
                </text>
              ))}
            </g>
          )
        })}
      </svg>
      <figcaption className="soft small">
        {counted(all.length, 'label')} on {counted(pages, sheet.columns * sheet.rows === 1 ? 'piece' : 'sheet')}
        {pages > 1 ? '; the first is shown' : ''}.
      </figcaption>
    </figure>
  )
}
