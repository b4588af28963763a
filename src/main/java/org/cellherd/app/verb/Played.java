package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.cellherd.app.Stop;
import org.cellherd.app.config.Decoders;
import org.cellherd.board.FarSide;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.CsvLines;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Responder;
import org.cellherd.sim.RecordedBoard;
import org.cellherd.sim.RecordedReadings;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedBoard;
import org.cellherd.sim.SpeedClock;
import org.cellherd.toml.Problems;

/**
 * What {@code simulate} plays.
 *
 * @param title for people
 * @param spec how a listener must decode it
 * @param line how a serial line is set
 * @param isModbusRtu true when Modbus TCP can carry it
 * @param wire the boards
 * @param goesOn false when all has been played
 */
record Played(
    String title,
    String spec,
    LineSettings line,
    boolean isModbusRtu,
    FarSide wire,
    BooleanSupplier goesOn) {

  static Played scenario(Scenario scenario, Decoders decoders, TimeSource time, double speed) {
    SpeedClock clock = new SpeedClock(time, scenario.startMs(), speed);
    SimulatedBoard board =
        new SimulatedBoard(scenario, scenario.rig(), id -> Optional.of(decoders.find(id)), clock);
    String first = board.rig().packs().get(0).decoder();
    return new Played(
        scenario.title(),
        first,
        decoders.find(first).line(),
        board.rig().packs().stream().allMatch(p -> decoders.find(p.decoder()).isModbusRtu()),
        board,
        () -> clock.getAsLong() < scenario.endMs());
  }

  static Played record(
      Path file,
      CsvLines lines,
      Problems problems,
      Decoder decoder,
      int address,
      TimeSource time,
      double speed)
      throws IOException {
    RecordedReadings readings =
        RecordedReadings.of(file.toString(), lines, problems)
            .orElseThrow(() -> Stop.usage(problems.toString()));
    long startMs =
        readings
            .nextMs()
            .orElseThrow(
                () ->
                    Stop.usage(
                        file + ": holds no reading" + (problems.isEmpty() ? "" : "\n" + problems)));
    Responder responder =
        decoder
            .responder(address)
            .orElseThrow(() -> Stop.usage("\"" + decoder.id() + "\" cannot play a board"));
    RecordedBoard board =
        new RecordedBoard(readings, responder, new SpeedClock(time, startMs, speed));
    return new Played(
        file.toString(),
        decoder.id(),
        decoder.line(),
        decoder.isModbusRtu(),
        board,
        () -> !board.isOver());
  }
}
