/**
 * Cells, pack, charger, sun, board and faults to test and to show with; shares no code with the
 * analyses it tests. A {@link org.cellherd.sim.Scenario} (a file of {@code simulators/} and a seed)
 * makes a {@link org.cellherd.sim.SimulatedRig}, which moves in time and prints what boards print;
 * a {@link org.cellherd.sim.SimulatedBoard} puts its boards on a line, a {@link
 * org.cellherd.sim.RecordedBoard} does so with recorded readings, and {@link
 * org.cellherd.sim.BoardServer} and {@link org.cellherd.sim.TcpBoardServer} put either on a real
 * link. {@code SimPack} and {@code Cell} are physics: plain doubles in SI units and Ah, no time but
 * the step they are given.
 *
 * <p>A board is as it really is: it measures with noise, offset and steps, prints small currents as
 * none, bleeds by its own rules, trips and releases, sleeps, and has an opinion on the state of
 * charge.
 */
@NullMarked
package org.cellherd.sim;

import org.jspecify.annotations.NullMarked;
