package org.cellherd.app.verb;

import java.util.List;
import org.cellherd.app.Stop;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

@Command(
    name = "meter",
    mixinStandardHelpOptions = true,
    description = {
      "Records what a trusted meter says of a pack, or lists such readings beside what the board"
          + " said.",
      "Every estimate then allows for the errors of the board that the readings show. A running"
          + " daemon takes them up at its next start.",
      "Measure only what you can reach without risk: a clamp around a cable, probes with fused"
          + " leads on terminals. A pack cannot be switched off."
    })
final class MeterVerb extends RemarkVerb {

  private static final long NONE = Long.MIN_VALUE;

  @Mixin private MeterOptions meter;

  MeterVerb() {
    super("reading", "recorded");
  }

  @Override
  boolean isGiven() {
    return meter.isGiven();
  }

  @Override
  String howToGive() {
    return "say what the meter read, as --current 4.2";
  }

  @Override
  List<Note> given() {
    int series = log().pack().plan().series();
    if (meter.highestCell() > series) {
      throw Stop.usage(
          "--cell " + meter.highestCell() + ": the pack has " + Spoken.counted(series, "cell"));
    }
    meter.refuseOtherUnits(log().pack().plan());
    boolean isSpan = fromMs(NONE) != NONE && toMs(NONE) != NONE;
    if (meter.isCounted() != isSpan) {
      throw Stop.usage(
          meter.isCounted()
              ? "a counter's reading needs --from and --to"
              : "--from and --to go with --charge and --energy; an instant has --at");
    }
    long atMs = atMs();
    return meter.readings(fromMs(atMs), toMs(atMs)).stream()
        .map(reading -> note(reading.toMs(), reading.text()))
        .toList();
  }

  @Override
  void list(LogFile file, AnswerOutput to) throws StorageFailure {
    MeterList.of(file, log().pack(), log().zone()).print(to);
  }
}
