package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class BrokerFileTest {

  @TempDir Path folder;

  @Test
  void whatIsRememberedIsRecalledByTheNextRun() throws Exception {
    KeptAtBroker kept = new KeptAtBroker(Set.of("a/\"b\"", "homie/5/x/$state"), 7, "c0ffee");

    BrokerFile.beside(folder.resolve("night.db")).remember(kept);

    assertThat(BrokerFile.beside(folder.resolve("night.db")).recall()).isEqualTo(kept);
    assertThat(folder.resolve("night.db-broker")).isRegularFile();
    assertThat(folder.resolve("night.db-broker.new")).doesNotExist();
  }

  @Test
  void firstRunKnowsNothing() {
    assertThat(BrokerFile.beside(folder.resolve("night.db")).recall())
        .isEqualTo(KeptAtBroker.NOTHING);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"", "{", "[]", "7", "{\"topics\":[1,null,\"\",\"+/#\",\"$SYS/x\"]}", "\u0000"})
  void nonsenseEmptiesNothing(String text) throws Exception {
    Files.writeString(folder.resolve("night.db-broker"), text);

    assertThat(BrokerFile.beside(folder.resolve("night.db")).recall())
        .isEqualTo(KeptAtBroker.NOTHING);
  }
}
