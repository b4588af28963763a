package org.cellherd.app.config;

import java.nio.file.Path;
import java.util.OptionalInt;

/**
 * Where the log lies and how long it is kept.
 *
 * @param file the database
 * @param atRiskMs most time of readings that a loss of power may cost
 * @param keepDays raw readings older than this are removed, statistics stay; empty keeps all
 * @param keepMb raw readings are removed, oldest first, when the file grows beyond this
 */
public record StoreConfig(Path file, long atRiskMs, OptionalInt keepDays, OptionalInt keepMb) {}
