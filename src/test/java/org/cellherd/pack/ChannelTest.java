package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ChannelTest {

  private static List<Channel> all() {
    List<Channel> all = new ArrayList<>();
    for (Channel.Kind kind : Channel.Kind.values()) {
      for (int n = 1; n <= (kind.isNumbered() ? Channel.MAX_NUMBER : 1); n++) {
        all.add(new Channel(kind, kind.isNumbered() ? n : 0));
      }
    }
    return all;
  }

  @Test
  void everyChannelIsFoundAgainByItsColumn() {
    for (Channel channel : all()) {
      assertThat(Channel.ofColumn(channel.columnName())).hasValue(channel);
    }
  }

  @Test
  void columnsAreInTheOrderOfTheChannels() {
    assertThat(all()).isSorted();
    assertThat(Channel.cell(3)).hasToString("cell_3_v");
    assertThat(Channel.temperature(12)).hasToString("temp_12_c");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "cell__v",
        "cell_0_v",
        "cell_01_v",
        "cell_65_v",
        "cell_-1_v",
        "cell_3",
        "CELL_3_v",
        "current"
      })
  void unknownColumnIsNoChannel(String column) {
    assertThat(Channel.ofColumn(column)).isEmpty();
  }

  @Test
  void numberMustFitTheKind() {
    assertThatThrownBy(() -> Channel.cell(0)).isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> new Channel(Channel.Kind.CURRENT, 1))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
