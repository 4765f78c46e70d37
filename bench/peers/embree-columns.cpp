// Every crossing of the same columns by rays through Embree 3: the peer of the signed column pass.
//
// Reads one file: counts of corners and triangles (uint32), corners (float64 x y z), triangles (uint32), then 19 float64 of
// the grid: nu nv column u0 v0, origin, u, v, direction, lowest, highest. Builds the tree, prints "ready", and for every line it
// is sent casts all columns once and prints the crossings, the columns met, the sum of highest less lowest, and the sum of
// what is shut in between.
#include <embree3/rtcore.h>

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <vector>

struct Column : RTCIntersectContext {
  unsigned count;
  float highest, lowest;
  double metal;
};

static float goUp[3];

// Collects a crossing and lets the ray go on. Several filters may be asked of one ray, one hit at a time.
static void collect(const RTCFilterFunctionNArguments* args) {
  auto* column = static_cast<Column*>(args->context);
  const unsigned n = args->N;
  for (unsigned i = 0; i < n; i++) {
    if (args->valid[i] != -1) continue;
    args->valid[i] = 0;
    const float t = RTCRayN_tfar(args->ray, n, i);
    const float up = RTCHitN_Ng_x(args->hit, n, i) * goUp[0] + RTCHitN_Ng_y(args->hit, n, i) * goUp[1] +
                     RTCHitN_Ng_z(args->hit, n, i) * goUp[2];
    column->count++;
    if (t > column->highest) column->highest = t;
    if (t < column->lowest) column->lowest = t;
    column->metal += up > 0 ? t : -t;
  }
}

template <typename T>
static std::vector<T> read(FILE* file, size_t count) {
  std::vector<T> values(count);
  if (std::fread(values.data(), sizeof(T), count, file) != count) std::exit(2);
  return values;
}

int main(int, char** argv) {
  FILE* file = std::fopen(argv[1], "rb");
  if (!file) return 2;
  const auto counts = read<uint32_t>(file, 2);
  const auto corners = read<double>(file, 3 * size_t(counts[0]));
  const auto triangles = read<uint32_t>(file, 3 * size_t(counts[1]));
  const auto grid = read<double>(file, 19);
  std::fclose(file);
  const int nu = int(grid[0]), nv = int(grid[1]);
  const double column = grid[2], u0 = grid[3], v0 = grid[4];
  const double *origin = &grid[5], *u = &grid[8], *v = &grid[11], *d = &grid[14], lowest = grid[17], highest = grid[18];

  RTCDevice device = rtcNewDevice("threads=1,set_affinity=0");
  RTCScene scene = rtcNewScene(device);
  rtcSetSceneBuildQuality(scene, RTC_BUILD_QUALITY_HIGH);
  rtcSetSceneFlags(scene, RTC_SCENE_FLAG_CONTEXT_FILTER_FUNCTION);
  RTCGeometry mesh = rtcNewGeometry(device, RTC_GEOMETRY_TYPE_TRIANGLE);
  auto* placed = static_cast<float*>(
      rtcSetNewGeometryBuffer(mesh, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, 12, counts[0]));
  for (size_t i = 0; i < corners.size(); i++) placed[i] = float(corners[i] - origin[i % 3]);
  auto* faces = static_cast<uint32_t*>(
      rtcSetNewGeometryBuffer(mesh, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3, 12, counts[1]));
  for (size_t i = 0; i < triangles.size(); i++) faces[i] = triangles[i];
  rtcCommitGeometry(mesh);
  rtcAttachGeometry(scene, mesh);
  rtcReleaseGeometry(mesh);
  rtcCommitScene(scene);
  for (int k = 0; k < 3; k++) goUp[k] = float(d[k]);
  std::puts("ready");
  std::fflush(stdout);

  const double start = lowest - 0.01 * (highest - lowest);
  char line[64];
  while (std::fgets(line, sizeof line, stdin)) {
    size_t crossings = 0, met = 0;
    double envelope = 0, shut = 0;
    for (int row = 0; row < nv; row++) {
      for (int x = 0; x < nu; x++) {
        Column context;
        rtcInitIntersectContext(&context);
        context.flags = RTC_INTERSECT_CONTEXT_FLAG_COHERENT;
        context.filter = collect;
        context.count = 0;
        context.highest = -std::numeric_limits<float>::infinity();
        context.lowest = std::numeric_limits<float>::infinity();
        context.metal = 0;
        const double a = u0 + x * column, b = v0 + row * column;
        RTCRayHit ray;
        ray.ray.org_x = float(a * u[0] + b * v[0] + start * d[0]);
        ray.ray.org_y = float(a * u[1] + b * v[1] + start * d[1]);
        ray.ray.org_z = float(a * u[2] + b * v[2] + start * d[2]);
        ray.ray.dir_x = goUp[0];
        ray.ray.dir_y = goUp[1];
        ray.ray.dir_z = goUp[2];
        ray.ray.tnear = 0;
        ray.ray.tfar = std::numeric_limits<float>::infinity();
        ray.ray.mask = ~0u;
        ray.ray.time = 0;
        ray.ray.flags = 0;
        ray.hit.geomID = RTC_INVALID_GEOMETRY_ID;
        rtcIntersect1(scene, &context, &ray);
        if (context.count == 0) continue;
        crossings += context.count;
        met++;
        const double tall = double(context.highest) - context.lowest;
        envelope += tall;
        if (context.count % 2 == 0 && tall > context.metal) shut += tall - context.metal;
      }
    }
    std::printf("%zu %zu %.9g %.9g\n", crossings, met, envelope, shut);
    std::fflush(stdout);
  }
}
