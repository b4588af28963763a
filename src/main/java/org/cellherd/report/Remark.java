package org.cellherd.report;

/**
 * A person's remark.
 *
 * @param atMs what time it is about, ms UTC
 * @param by who, may be empty
 * @param text the remark
 */
public record Remark(long atMs, String by, String text) {}
