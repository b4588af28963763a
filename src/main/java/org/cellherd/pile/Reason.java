package org.cellherd.pile;

/**
 * One thing that speaks for or against a unit.
 *
 * @param about what was judged, a word such as {@code capacity}
 * @param verdict what it demands
 * @param sentence for people, with the numbers
 */
public record Reason(String about, UnitVerdict verdict, String sentence) {}
