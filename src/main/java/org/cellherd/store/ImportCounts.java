package org.cellherd.store;

/**
 * What became of the rows of an import.
 *
 * @param stored readings that are now in the log
 * @param doubled not stored: the log or the file has a reading of that time
 * @param outOfOrder not stored: older than one before them in the file
 * @param watched not stored: a run of the daemon watched at that time and has no such reading
 * @param amongDamaged not stored: what the log has of that hour cannot be read
 */
public record ImportCounts(
    long stored, long doubled, long outOfOrder, long watched, long amongDamaged) {}
