package org.cellherd.analysis.balance;

/**
 * What lead estimates rest on besides the crossings, at one instant.
 *
 * @param upMs latest moment of charging in this charge, fold time
 * @param countAh smoothed count at the latest moment of charging in this charge, Ah
 * @param bleed A while bleeding is counted
 * @param heldMs how long a held charge has hidden in the dead zone so far
 * @param deadZoneA currents up to here are hidden, A
 * @param samplingSquared see {@link Crossing}, so far
 */
record Top(
    long upMs,
    double countAh,
    Estimate bleed,
    long heldMs,
    double deadZoneA,
    double samplingSquared) {}
