-- AlterTable
ALTER TABLE "PartsListLine" ADD COLUMN "retiredAt" DATETIME;

-- CreateTable
CREATE TABLE "PageSource" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "extension" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "pageCount" INTEGER NOT NULL,
    "bytes" INTEGER NOT NULL,
    "personId" TEXT NOT NULL,
    "createdAt" DATETIME NOT NULL
);

-- CreateTable
CREATE TABLE "PageDraft" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "sourceId" TEXT NOT NULL,
    "page" INTEGER NOT NULL,
    "personId" TEXT NOT NULL,
    "createdAt" DATETIME NOT NULL,
    "changedAt" DATETIME NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'waiting',
    "progress" REAL NOT NULL DEFAULT 0,
    "step" TEXT NOT NULL DEFAULT '',
    "failure" TEXT,
    "runner" TEXT,
    "beatAt" DATETIME,
    "reading" TEXT,
    "draft" TEXT,
    "version" INTEGER NOT NULL DEFAULT 0,
    "pictureId" TEXT,
    "viewId" TEXT,
    "figureId" INTEGER,
    "modelId" INTEGER,
    CONSTRAINT "PageDraft_sourceId_fkey" FOREIGN KEY ("sourceId") REFERENCES "PageSource" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "PageDraft_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "PageDraft_modelId_fkey" FOREIGN KEY ("modelId") REFERENCES "MachineModel" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- AlterTable: by hand, because rebuilding the table would drop what hangs on it.
ALTER TABLE "Figure" ADD COLUMN "edition" INTEGER NOT NULL DEFAULT 1;

-- CreateIndex
CREATE INDEX "PageDraft_state_idx" ON "PageDraft"("state");

-- CreateIndex
CREATE INDEX "PageDraft_sourceId_idx" ON "PageDraft"("sourceId");

-- CreateIndex
CREATE INDEX "PageDraft_figureId_idx" ON "PageDraft"("figureId");

-- CreateIndex
CREATE INDEX "PageDraft_modelId_idx" ON "PageDraft"("modelId");
