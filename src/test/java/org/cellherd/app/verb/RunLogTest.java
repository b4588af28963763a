package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.text.MessageFormat;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.logging.Handler;
import java.util.logging.Level;
import java.util.logging.LogRecord;
import java.util.logging.Logger;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.Test;

/** What the program's own log says of alerts. */
class RunLogTest {

  private final List<LogRecord> lines = new ArrayList<>();

  private final Handler handler =
      new Handler() {
        @Override
        public void publish(LogRecord line) {
          lines.add(line);
        }

        @Override
        public void flush() {}

        @Override
        public void close() {}
      };

  @Test
  void anAlertThatIsOverIsNoErrorAndDoesNotReadAsIfItCameBack() {
    Logger logger = Logger.getLogger(RepeatedLines.ALERTS);
    logger.addHandler(handler);
    logger.setUseParentHandlers(false);
    try {
      for (AlertEvent.Change change : AlertEvent.Change.values()) {
        new RunLog().event(new AlertEvent("e", change, alert()));
      }
    } finally {
      logger.setUseParentHandlers(true);
      logger.removeHandler(handler);
    }

    assertThat(lines.stream().filter(l -> l.getLevel().equals(Level.SEVERE)).map(RunLogTest::text))
        .hasSize(3)
        .noneMatch(text -> text.contains("over"));
    assertThat(lines.stream().filter(l -> l.getLevel().equals(Level.WARNING)).map(RunLogTest::text))
        .singleElement()
        .asString()
        .contains("critical cell-high/cell-3 over, not acknowledged: ");
    assertThat(lines).extracting(RunLogTest::text).noneMatch(text -> text.contains("returned"));
  }

  private static String text(LogRecord line) {
    return MessageFormat.format(line.getMessage(), line.getParameters());
  }

  private static Alert alert() {
    return new Alert(
        "crate-1",
        new AlertKey("crate", CellHigh.ID, 3),
        AlertState.ACTIVE,
        Priority.CRITICAL,
        0,
        0,
        3_661,
        3_650,
        "mV",
        "Cell 3 is at 3.661 V.",
        "",
        Facts.NONE,
        Optional.empty(),
        true);
  }
}
