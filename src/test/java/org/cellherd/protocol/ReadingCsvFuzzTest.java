package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import org.cellherd.pack.Reading;
import org.cellherd.toml.Problems;

/**
 * Contract: any lines give readings or problems, never an exception; a reading that was read is
 * written and read again unchanged.
 */
class ReadingCsvFuzzTest {

  private static final ReadingCsv ALL = ReadingCsv.of(64, 64);
  private static final ReadingCsvWriter WRITER = new ReadingCsvWriter(ALL);

  @FuzzTest(maxDuration = "60s")
  void anyLinesGiveReadingsOrProblems(byte[] data) {
    String[] lines = new String(data, StandardCharsets.UTF_8).split("\n", 50);
    Problems problems = new Problems();
    Optional<ReadingCsv> columns =
        ReadingCsv.ofHeader("f", lines[0], data.length % 2 == 0, problems);
    if (columns.isEmpty()) {
      assertThat(problems.isEmpty()).isFalse();
      return;
    }
    ReadingCsvReader reader = new ReadingCsvReader("f", columns.get(), problems);
    for (int i = 1; i < lines.length; i++) {
      reader.read(i + 1, lines[i]).ifPresent(ReadingCsvFuzzTest::assertSurvivesWriting);
    }
  }

  private static void assertSurvivesWriting(Reading reading) {
    ReadingCsvReader again = new ReadingCsvReader("f", ALL, new Problems());

    assertThat(again.read(2, WRITER.line(reading))).contains(reading);
  }
}
