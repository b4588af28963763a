package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.logging.Handler;
import java.util.logging.LogRecord;
import java.util.logging.Logger;
import org.junit.jupiter.api.Test;

class DistinctErrorsTest {

  @Test
  void eachDifferentErrorIsLoggedOnceThenAtEachTenfold() {
    List<String> lines = new ArrayList<>();
    Logger logger = Logger.getLogger("distinct-errors-test");
    logger.setUseParentHandlers(false);
    logger.addHandler(
        new Handler() {
          @Override
          public void publish(LogRecord record) {
            lines.add(record.getMessage());
          }

          @Override
          public void flush() {}

          @Override
          public void close() {}
        });
    DistinctErrors errors = new DistinctErrors(System.getLogger("distinct-errors-test"));

    for (int i = 0; i < 1000; i++) {
      errors.note("poll", new IllegalStateException("no " + i));
    }
    errors.note("poll", new IllegalArgumentException("other"));

    assertThat(lines).hasSize(5);
    assertThat(lines.get(3)).contains("1000 times");
    assertThat(errors.counts()).hasSize(2);
  }
}
