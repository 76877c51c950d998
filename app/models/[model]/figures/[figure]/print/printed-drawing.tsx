import { paths } from '@/app/paths.ts'
import type { FigureView } from '@/lib/db/figure.ts'
import { TILED_FROM_PIXELS, tileBox, tileGrid, tileLevels } from '@/lib/geometry/tile.ts'
import styles from './print.module.css'

/** Pixels across that a sheet of A4 shows at 300 dots per inch (210 mm = 8.27 in), margins taken off. */
const A4_PIXELS = 2200

/** The drawing at its whole size with its numbers set over the print, so that they can be read however small it was drawn. */
export function PrintedDrawing({ figure }: { figure: FigureView }) {
  const { width, height, picture, callouts } = figure
  const listed = new Set(figure.lines.map((line) => line.item))
  return (
    <div
      className={styles.drawing}
      role="img"
      aria-label={`Drawing of figure ${figure.number}, ${figure.title}`}
      style={{
        aspectRatio: `${width} / ${height}`,
        // As wide as the paper, or as high as leaves room for the list.
        width: `min(100%, calc(var(--drawing-height) * ${width / height}))`,
      }}
    >
      {pieces(picture).map((piece) => (
        <img key={piece.src} src={piece.src} alt="" style={piece.style} />
      ))}
      {callouts.map((callout) => (
        <span
          key={`${callout.item} ${callout.x} ${callout.y}`}
          style={{ left: `${(callout.x / width) * 100}%`, top: `${(callout.y / height) * 100}%` }}
        >
          {listed.has(callout.item) ? callout.item : `(${callout.item})`}
        </span>
      ))}
    </div>
  )
}

/** The picture, or the tiles of a large scan at the size that paper can show. */
function pieces(picture: FigureView['picture']) {
  const share = (part: number) => `${part * 100}%`
  if (picture.extension === 'svg' || Math.max(picture.width, picture.height) <= TILED_FROM_PIXELS)
    return [{ src: paths.picture(picture), style: { left: 0, top: 0, width: '100%', height: '100%' } }]
  const levels = tileLevels(picture)
  const at = levels.findIndex((level) => level.width >= A4_PIXELS)
  const level = at === -1 ? levels.length - 1 : at
  const { across, down } = tileGrid(levels[level]!)
  return Array.from({ length: across * down }, (_, index) => {
    const tile = { level, x: index % across, y: Math.floor(index / across) }
    const box = tileBox(tile, levels[level]!)
    return {
      src: paths.pictureTile(picture, tile),
      style: { left: share(box.left), top: share(box.top), width: share(box.width), height: share(box.height) },
    }
  })
}
