-- CreateTable
CREATE TABLE "TestList" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "figureId" INTEGER NOT NULL,
    "version" INTEGER NOT NULL,
    "content" TEXT NOT NULL,
    "personId" TEXT,
    "at" DATETIME NOT NULL,
    CONSTRAINT "TestList_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE UNIQUE INDEX "TestList_figureId_version_key" ON "TestList"("figureId", "version");
