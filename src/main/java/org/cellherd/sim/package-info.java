/**
 * Cells, pack, charger, sun, board and faults to test and to show with; shares no code with the
 * analyses it tests. A {@link org.cellherd.sim.Scenario} (a file of {@code simulators/} and a seed)
 * makes a {@link org.cellherd.sim.rig.SimulatedRig}, which moves in time, prints what boards print
 * and knows the {@link org.cellherd.sim.rig.Truth}; a {@link org.cellherd.sim.SimulatedBoard} puts
 * its boards on a line, a {@link org.cellherd.sim.RecordedBoard} does so with recorded readings,
 * and {@link org.cellherd.sim.BoardServer} and {@link org.cellherd.sim.TcpBoardServer} put either
 * on a real link. Inside: {@code cell} and {@code supply} are physics, {@code meter} the board,
 * {@code fault} what goes wrong, {@code rig} joins them, {@code scenario} reads files.
 */
@NullMarked
package org.cellherd.sim;

import org.jspecify.annotations.NullMarked;
