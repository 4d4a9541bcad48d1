#include "cli/pdf.h"

#include <cairo-pdf.h>
#include <fmt/format.h>
#include <librsvg/rsvg.h>

#include <memory>

namespace trammel {
namespace {

constexpr double points_per_inch = 72.0;

struct Unref {
  void operator()(RsvgHandle* handle) const { g_object_unref(handle); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
  void operator()(GError* error) const { g_error_free(error); }
};
template <class T>
using Owned = std::unique_ptr<T, Unref>;

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

std::string words(GError* error) {
  const Owned<GError> owned(error);
  return owned ? owned->message : "for no reason given";
}

}  // namespace

Answer<std::string> pdf_of(const std::vector<std::string>& svgs) {
  if (svgs.empty()) return {std::nullopt, "there is no page to write"};
  std::string bytes;
  {
    const Owned<cairo_surface_t> surface(
        cairo_pdf_surface_create_for_stream(append, &bytes, 1.0, 1.0));
    // A page's size counts only until something is drawn on it: a context for each.
    for (std::size_t i = 0; i < svgs.size(); ++i) {
      GError* error = nullptr;
      const Owned<RsvgHandle> handle(
          rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svgs[i].data()),
                                    static_cast<gsize>(svgs[i].size()), &error));
      if (!handle)
        return {std::nullopt, fmt::format("page {} is not read: {}", i + 1, words(error))};
      // At 72 to the inch a pixel of SVG is a point of PDF.
      rsvg_handle_set_dpi(handle.get(), points_per_inch);
      gdouble wide = 0.0, high = 0.0;
      if (!rsvg_handle_get_intrinsic_size_in_pixels(handle.get(), &wide, &high) || !(wide > 0.0) ||
          !(high > 0.0))
        return {std::nullopt, fmt::format("page {} does not say how large it is", i + 1)};
      cairo_pdf_surface_set_size(surface.get(), wide, high);
      const Owned<cairo_t> context(cairo_create(surface.get()));
      const RsvgRectangle all{0.0, 0.0, wide, high};
      if (!rsvg_handle_render_document(handle.get(), context.get(), &all, &error))
        return {std::nullopt, fmt::format("page {} is not drawn: {}", i + 1, words(error))};
      cairo_show_page(context.get());
      if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS)
        return {std::nullopt, fmt::format("page {} is not drawn: {}", i + 1,
                                          cairo_status_to_string(cairo_status(context.get())))};
    }
    cairo_surface_finish(surface.get());
    const auto status = cairo_surface_status(surface.get());
    if (status != CAIRO_STATUS_SUCCESS)
      return {std::nullopt,
              fmt::format("the PDF is not written: {}", cairo_status_to_string(status))};
  }
  return {bytes, {}};
}

}  // namespace trammel
