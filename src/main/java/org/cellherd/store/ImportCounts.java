package org.cellherd.store;

/**
 * What became of the rows of an import.
 *
 * @param stored readings that are now in the log
 * @param doubled readings of a time that the log or the file already has
 * @param outOfOrder readings older than one before them in the file, not stored
 */
public record ImportCounts(long stored, long doubled, long outOfOrder) {}
