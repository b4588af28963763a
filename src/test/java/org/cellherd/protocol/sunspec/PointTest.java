package org.cellherd.protocol.sunspec;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import java.io.IOException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import org.cellherd.Tools;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Our offsets against the published model files. */
class PointTest {

  private record Published(int offset, int size, String type, String scale) {}

  private static final Map<Integer, Map<String, Published>> MODELS = new HashMap<>();

  @ParameterizedTest
  @EnumSource(Point.class)
  void standsWhereThePublishedModelPutsIt(Point point) throws IOException {
    Map<String, Published> model = model(point.model());
    Published published = point(model, point.published());

    assertThat(published.offset()).isEqualTo(point.offset());
    assertThat(published.size()).isEqualTo(point.registers());
    assertThat(published.type()).isEqualToIgnoringCase(point.type().name());
    if (point.scaleOffset() < 0) {
      assertThat(published.scale()).isEmpty();
    } else {
      assertThat(point(model, published.scale()).offset()).isEqualTo(point.scaleOffset());
    }
  }

  @ParameterizedTest
  @EnumSource(value = Point.class, names = "CELL_COUNT")
  void cellsBeginBehindTheHeaderOfTheModule(Point point) throws IOException {
    Map<String, Published> model = model(point.model());
    Published scale = point(model, "Tmp_SF");

    assertThat(point(model, "CellV_SF").offset()).isEqualTo(Point.CELL_VOLTAGE_SCALE);
    assertThat(scale.offset()).isEqualTo(Point.CELL_TEMPERATURE_SCALE);
    int header = model.values().stream().mapToInt(p -> p.offset() + p.size()).max().orElseThrow();
    assertThat(header).isEqualTo(Point.MODULE_HEADER);
  }

  private static Published point(Map<String, Published> model, String name) {
    return Objects.requireNonNull(model.get(name), name);
  }

  private static Map<String, Published> model(int id) throws IOException {
    Path file = Tools.openData().resolve("standards/sunspec/model_" + id + ".json");
    Map<String, Published> known = MODELS.get(id);
    if (known == null) {
      known = read(file);
      MODELS.put(id, known);
    }
    return known;
  }

  /** The points of the first group with their places; groups inside it are passed over. */
  private static Map<String, Published> read(Path file) throws IOException {
    Map<String, Published> points = new LinkedHashMap<>();
    try (JsonParser json = new JsonFactory().createParser(file.toFile())) {
      int offset = 0;
      while (json.nextToken() != null) {
        if (json.currentToken() == JsonToken.FIELD_NAME && json.currentName().equals("groups")) {
          json.nextToken();
          json.skipChildren();
        } else if (json.currentToken() == JsonToken.FIELD_NAME
            && json.currentName().equals("points")) {
          json.nextToken();
          while (json.nextToken() == JsonToken.START_OBJECT) {
            Published point = point(json, offset, points);
            offset = point.offset() + point.size();
          }
        }
      }
    }
    return points;
  }

  private static Published point(JsonParser json, int offset, Map<String, Published> points)
      throws IOException {
    String name = "";
    String type = "";
    String scale = "";
    int size = 1;
    while (json.nextToken() == JsonToken.FIELD_NAME) {
      String key = json.currentName();
      json.nextToken();
      switch (key) {
        case "name" -> name = json.getText();
        case "type" -> type = json.getText();
        case "size" -> size = json.getIntValue();
        case "sf" -> scale = json.getText();
        default -> json.skipChildren();
      }
    }
    Published point = new Published(offset, size, type, scale);
    points.put(name, point);
    return point;
  }
}
