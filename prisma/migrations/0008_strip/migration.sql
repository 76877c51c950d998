-- CreateTable
CREATE TABLE "StripOrder" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "figureId" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "content" TEXT NOT NULL,
    "personId" TEXT NOT NULL,
    "at" DATETIME NOT NULL,
    CONSTRAINT "StripOrder_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE UNIQUE INDEX "StripOrder_figureId_version_key" ON "StripOrder"("figureId", "version");
