package org.cellherd.pile;

import java.time.LocalDate;

/**
 * What the builder says of meter and wishes. A meter of 1 mV, a tester of 1 % and six tenths of the
 * rating are common practice, no source.
 *
 * @param meterMv standard deviation of one voltage against the next by the same meter, mV
 * @param capacityPct standard deviation of a measured capacity, percent
 * @param leastPct units below this share of their rated capacity are not used, percent
 * @param today for the age
 */
public record TriageSettings(
    double meterMv, double capacityPct, double leastPct, LocalDate today) {}
